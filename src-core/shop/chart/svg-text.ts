/** A chart as the text of an SVG file that stands by itself, light or dark as its reader is. */
import type { Chart, Shape } from './chart'

const escaped = (text: string): string => text.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;').replace(/"/g, '&quot;')

/** The same colours as on the screens (styles/tokens.css). */
const colours = {
  dark: { ground: '#1d2327', ink: '#eef2f1', soft: '#adbbc0', line: '#39444b', edge: '#7d8d95', value: '#74c4f2', good: '#35c99f', bad: '#ff8450' },
  light: { ground: '#fbfaf6', ink: '#1a2226', soft: '#4c595f', line: '#cfccc0', edge: '#7a827f', value: '#005c93', good: '#00684c', bad: '#a83c00' },
}
const variables = (of: Record<string, string>): string => Object.entries(of).map(([name, colour]) => `--${name}:${colour}`).join(';')

const style = `svg{${variables(colours.light)};font:15px "Segoe UI","Noto Sans","DejaVu Sans",sans-serif}
@media (prefers-color-scheme:dark){svg{${variables(colours.dark)}}}
.ground{fill:var(--ground)}.axis{stroke:var(--edge);stroke-width:1.5}.grid{stroke:var(--line)}.words{fill:var(--ink)}.small{fill:var(--soft);font-size:13px}
.value{fill:var(--value)}.bar{fill:var(--value)}.band{fill:var(--line)}.outside{stroke:var(--bad);stroke-width:2.5;fill:none}
.mean{stroke:var(--good);stroke-width:2}.limit{stroke:var(--bad);stroke-width:2;stroke-dasharray:9 5}.control{stroke:var(--soft);stroke-width:1.5;stroke-dasharray:3 4}.interval{stroke:var(--ink);stroke-width:1.5}`

const titled = (open: string, title: string | undefined, name: string): string =>
  (title === undefined ? `${open}/>` : `${open}><title>${escaped(title)}</title></${name}>`)

const shapeText = (shape: Shape): string => {
  switch (shape.kind) {
    case 'line': return `<path class="${shape.is}" d="M${shape.x} ${shape.y}L${shape.toX} ${shape.toY}"/>`
    case 'box': return titled(`<rect class="${shape.is}" x="${shape.x}" y="${shape.y}" width="${shape.width}" height="${shape.height}"`, shape.title, 'rect')
    case 'dot': return titled(`<circle class="${shape.is}" cx="${shape.x}" cy="${shape.y}" r="3"`, shape.title, 'circle')
    case 'cross': return titled(`<path class="${shape.is}" d="M${shape.x - 5} ${shape.y - 5}l10 10M${shape.x + 5} ${shape.y - 5}l-10 10"`, shape.title, 'path')
    case 'text': return `<text class="${shape.is}" x="${shape.x}" y="${shape.y}" text-anchor="${shape.anchor}">${escaped(shape.words)}</text>`
  }
}

export const svgText = ({ width, height, title, says, shapes }: Chart): string => [
  '<?xml version="1.0" encoding="UTF-8"?>',
  `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" role="img">`,
  `<title>${escaped(title)}</title><desc>${escaped(says)}</desc><style>${style}</style>`,
  `<rect class="ground" x="0" y="0" width="${width}" height="${height}"/>`,
  ...shapes.map(shapeText), '</svg>', '',
].join('\n')
