/** The usual symbols of the trade, drawn by hand around (0, 0): leads at x = −20 and 20, an anode or first pin on the left. */
import type { JSX } from 'react'
import type { SymbolKind } from '../../src-core/board/surroundings'

const triangle = 'M-9 -9V9L8 0Z'
const resistor = <path d="M-20 0H-15M15 0H20M-15 -6H15V6H-15Z" />
const leads = <path d="M-20 0H-9M8 0H20" />

const shapes: Record<SymbolKind, JSX.Element> = {
  resistor,
  thermistor: <>{resistor}<path d="M-17 11H-11L9 -11" /></>,
  varistor: <>{resistor}<path d="M-17 11H-11L9 -11" /><path d="M13 -12h5" /></>,
  capacitor: <path d="M-20 0H-4M-4 -10V10M4 -10V10M4 0H20" />,
  coil: <path d="M-20 0H-16a4 4 0 0 1 8 0a4 4 0 0 1 8 0a4 4 0 0 1 8 0a4 4 0 0 1 8 0H20" />,
  bead: <><path d="M-20 0H-15M15 0H20" /><path className="filled" d="M-15 -6H15V6H-15Z" /></>,
  diode: <>{leads}<path className="filled" d={triangle} /><path d="M8 -9V9" /></>,
  schottky: <>{leads}<path className="filled" d={triangle} /><path d="M4 -6V-9H8V9H12V6" /></>,
  zener: <>{leads}<path className="filled" d={triangle} /><path d="M4 -9H8V9H12" /></>,
  suppressor: <>{leads}<path className="filled" d={triangle} /><path d="M3 -12L8 -9V9L13 12" /></>,
  led: <>{leads}<path className="filled" d={triangle} /><path d="M8 -9V9M1 -11L7 -17M7 -17h-4M7 -17v4M8 -11L14 -17M14 -17h-4M14 -17v4" /></>,
  'two-way': <><path d="M-20 0H-14M14 0H20M0 -9V9" /><path className="filled" d="M-14 -8V8L0 0ZM14 -8V8L0 0Z" /></>,
  'gas-tube': <><circle r="11" /><path d="M-20 0H-5M5 0H20M-5 -5V5M5 -5V5" /></>,
  fuse: <><path d="M-20 0H20" /><path d="M-15 -6H15V6H-15Z" /></>,
  link: <path d="M-20 0H20" />,
  contact: <path d="M-20 0H-10M-10 0L9 -10M10 0H20" />,
  'closed-contact': <path d="M-20 0H-10M-10 0L12 -4M10 -7V0H20" />,
}

export const SchematicSymbol = ({ kind }: { kind: SymbolKind }): JSX.Element => <g className="symbol" data-symbol={kind}>{shapes[kind]}</g>
