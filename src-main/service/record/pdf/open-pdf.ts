/** A PDF that is empty yet, and its bytes when it is full. */
import PDFDocument from 'pdfkit'
import type { Pdf } from './pen'

export const openPdf = ({ title, author, keywords, made }: { title: string; author: string; keywords?: string; made: Date }): Pdf => new PDFDocument({
  compress: false, autoFirstPage: false, bufferPages: true, pdfVersion: '1.7', lang: 'en-GB', tagged: true, displayTitle: true,
  // No face of pdfkit's own: it would be read from a file that is not packed.
  font: null as unknown as string,
  info: { Title: title, Author: author, Creator: 'Probewright', Producer: 'Probewright', ...(keywords === undefined ? {} : { Keywords: keywords }), CreationDate: made },
})

export const finished = (pdf: Pdf): Promise<Buffer> => new Promise((resolve, reject) => {
  const parts: Buffer[] = []
  pdf.on('data', (part: Buffer) => { parts.push(part) })
  pdf.on('end', () => { resolve(Buffer.concat(parts)) })
  pdf.on('error', reject)
  pdf.end()
})
