/** The structure of a tagged PDF (ISO 32000-1:2008, 14.7 and 14.8, from memory): what each piece of a page is, in reading order. */
import type PDFDocument from 'pdfkit'

type Pdf = InstanceType<typeof PDFDocument>
type Element = ReturnType<Pdf['struct']>

export type Tag = 'Document' | 'Sect' | 'H1' | 'H2' | 'P' | 'Table' | 'TR' | 'TH' | 'TD' | 'Figure'
/** `alt`: said instead of what is drawn. `scope`: what a TH is the head of. */
export type TagOptions = { alt?: string; scope?: 'Row' | 'Column' }
export type Tagged = { tag: Tag; element: Element }

export type Tags = {
  /** Below the present element, behind what is there. */
  open: (tag: Tag, options?: TagOptions) => Tagged
  /** What `draw` opens stands below `parent`; nothing more can be added to it afterwards. */
  within: (parent: Tagged, draw: () => void) => void
  /** What is drawn is content of the element. No page may begin within. */
  mark: (of: Tagged, draw: () => void) => void
  /** What is drawn tells nothing: rules, bands, what stands again on every page. No page may begin within. */
  apart: (draw: () => void) => void
}

export const createTags = (pdf: Pdf): Tags => {
  const root = pdf.struct('Document')
  pdf.addStructure(root)
  let present: Element = root
  return {
    open: (tag, options = {}) => {
      const element = pdf.struct(tag, options)
      present.add(element)
      return { tag, element }
    },
    within: ({ element }, draw) => {
      const before = present
      present = element
      draw()
      element.end()
      present = before
    },
    mark: ({ tag, element }, draw) => {
      const content = pdf.markStructureContent(tag)
      draw()
      pdf.endMarkedContent()
      element.add(content)
    },
    apart: (draw) => {
      pdf.markContent('Artifact')
      draw()
      pdf.endMarkedContent()
    },
  }
}
