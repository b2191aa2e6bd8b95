/** Temperature and humidity at the bench: one line, opened to state them anew. Values and records of runs begun from then on take them. */
import { useEffect, useState, type JSX } from 'react'
import { airAt, airHoldsHours, statedAir } from '../../src-core/meter/surroundings'
import { useApp, useLost, useSession } from '../app/session'
import { timeWords } from '../app/words'
import { FigureField } from '../library/figure-field'
import { figureOf } from '../library/figure-of'
import { SaveLine } from '../library/save-line'
import { useSave } from '../library/use-save'

const minuteMs = 60_000

export const BenchAir = (): JSX.Element => {
  const { call } = useSession()
  const lost = useLost()
  const air = useApp((state) => state.library?.kit.air)
  const [typed, setTyped] = useState<{ celsius: string; humidity: string } | null>(null)
  const [now, setNow] = useState(Date.now)
  const save = useSave()
  useEffect(() => {
    const timer = setInterval(() => setNow(Date.now()), minuteMs)
    return () => clearInterval(timer)
  }, [])
  // What this screen's clock has not reached yet was stated just now.
  const { celsius, relativeHumidityPercent } = airAt(air, Math.max(now, air === undefined ? 0 : Date.parse(air.stated)))
  const known = [celsius === null ? null : `${celsius} °C`, relativeHumidityPercent === null ? null : `${relativeHumidityPercent} % humidity`].filter((each) => each !== null)

  const keep = (fields: { celsius: string; humidity: string }): void => {
    const [degrees, percent] = [fields.celsius, fields.humidity].map((text) => (text.trim() === '' ? null : figureOf(text) ?? NaN))
    const read = statedAir.safeParse({ celsius: degrees, relativeHumidityPercent: percent })
    if (!read.success) {
      save.refuse('Temperature: −50 °C to 80 °C. Humidity: 0 % to 100 %. Leave empty what nobody read.')
      return
    }
    save.run(() => call('state-air', read.data).then(() => setTyped(null)))
  }

  if (typed === null) {
    return (
      <p className="aside" data-testid="bench-air">
        {known.length === 0 ? 'Temperature at the bench: not stated today.' : `At the bench: ${known.join(', ')}, stated ${timeWords(air?.stated ?? '')}.`}{' '}
        <button
          type="button" className="quiet-act" data-testid="state-air" disabled={lost}
          onClick={() => {
            save.touched()
            setTyped({ celsius: celsius === null ? '' : String(celsius), humidity: relativeHumidityPercent === null ? '' : String(relativeHumidityPercent) })
          }}
        >
          {known.length === 0 ? 'State it' : 'State it anew'}
        </button>
      </p>
    )
  }
  return (
    <form
      className="form bench-air" aria-label="Air at the bench"
      onSubmit={(event) => {
        event.preventDefault()
        keep(typed)
      }}
    >
      <FigureField words="Temperature" unit="°C" value={typed.celsius} change={(value) => setTyped({ ...typed, celsius: value })} />
      <FigureField words="Relative humidity" unit="%" value={typed.humidity} change={(value) => setTyped({ ...typed, humidity: value })} />
      <p className="aside">As a thermometer at the bench shows it. It holds for {airHoldsHours} hours: the accuracy of the meter is stated for a span of temperature, and the record says what it was.</p>
      <SaveLine save={save} words="State" />
    </form>
  )
}
