/** One meter of the register, part by part. */
import type { JSX } from 'react'
import type { Meter } from '../../src-core/meter/instrument'
import { AccuracyForm } from './accuracy-form'
import { CertificateForm } from './certificate-form'
import { CheckCard } from './check-card'
import { ConnectionCard } from './connection-card'
import { MeterForm } from './meter-form'
import { SourceFitCard } from './source-fit-card'
import { SourcesForm } from './sources-form'
import { TaughtFacts } from './taught-facts'

export const MeterDetail = ({ meter }: { meter: Meter }): JSX.Element => (
  <>
    <MeterForm meter={meter} />
    <CheckCard meter={meter} />
    <CertificateForm meter={meter} />
    <AccuracyForm meter={meter} />
    <SourcesForm meter={meter} />
    <SourceFitCard meter={meter} />
    <TaughtFacts meter={meter} />
    <ConnectionCard meter={meter} />
  </>
)
