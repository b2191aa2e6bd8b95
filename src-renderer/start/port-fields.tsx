/** Port settings, where they differ from those of the description. */
import type { JSX } from 'react'
import type { PortSettings } from '../../src-core/meter/description'

const dataBits = [5, 6, 7, 8] as const
const parities = ['none', 'even', 'odd', 'mark', 'space'] as const
const stopBits = [1, 2] as const

type Choice<T extends string | number> = { words: string; of: readonly T[]; value: T; take: (value: T) => void }

const Select = <T extends string | number>({ words, of, value, take }: Choice<T>): JSX.Element => (
  <label className="field small">
    <span>{words}</span>
    <select
      value={String(value)}
      onChange={(event) => {
        const found = of.find((one) => String(one) === event.target.value)
        if (found !== undefined) take(found)
      }}
    >
      {of.map((one) => (
        <option key={one} value={String(one)}>
          {one}
        </option>
      ))}
    </select>
  </label>
)

export const PortFields = ({ port, change }: { port: PortSettings; change: (port: PortSettings) => void }): JSX.Element => (
  <div className="port-fields">
    <label className="field small">
      <span>Baud</span>
      <input
        type="number"
        min={50}
        max={4_000_000}
        value={port.baud}
        data-testid="baud"
        onChange={(event) => {
          if (Number.isInteger(event.target.valueAsNumber)) change({ ...port, baud: event.target.valueAsNumber })
        }}
      />
    </label>
    <Select words="Data bits" of={dataBits} value={port.dataBits} take={(value) => change({ ...port, dataBits: value })} />
    <Select words="Parity" of={parities} value={port.parity} take={(value) => change({ ...port, parity: value })} />
    <Select words="Stop bits" of={stopBits} value={port.stopBits} take={(value) => change({ ...port, stopBits: value })} />
    <label className="tick-field">
      <input type="checkbox" checked={port.dtr ?? false} onChange={(event) => change({ ...port, dtr: event.target.checked })} /> DTR on
    </label>
    <label className="tick-field">
      <input type="checkbox" checked={port.rts ?? false} onChange={(event) => change({ ...port, rts: event.target.checked })} /> RTS on
    </label>
  </div>
)
