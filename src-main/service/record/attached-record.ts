/** The record inside a PDF: the JSON file that is attached to it. */
import { PDFDocument } from '@cantoo/pdf-lib'

const isPdf = (bytes: Uint8Array): boolean => Buffer.from(bytes.subarray(0, 5)).toString('latin1') === '%PDF-'

/** What was attached, as it lies in the file; null where the bytes are no PDF. @throws Error in plain words where no one JSON file is attached, or the PDF is damaged. */
export const attachedRecord = async (bytes: Uint8Array): Promise<Uint8Array | null> => {
  if (!isPdf(bytes)) return null
  let attached: { name: string; data: Uint8Array }[]
  try {
    attached = (await PDFDocument.load(bytes, { updateMetadata: false })).getAttachments()
  } catch (error) {
    throw new Error(`This PDF cannot be read (${error instanceof Error ? error.message : String(error)}).`, { cause: error })
  }
  const [record, ...more] = attached.filter(({ name }) => name.endsWith('.json'))
  if (record === undefined) throw new Error('No record is attached to this PDF: it is not one that Probewright made, or the attachment was taken out.')
  if (more.length > 0) throw new Error('Several JSON files are attached to this PDF; a record’s PDF holds one.')
  return record.data
}
