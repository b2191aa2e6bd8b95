/** Says what became of a file that was to be saved: the window itself shows no list of downloads. */
import type { Session } from 'electron'
import type { Dispatcher } from '../service/dispatcher'

export const tellOfSaving = (session: Session, dispatcher: Dispatcher): void => {
  session.on('will-download', (_event, item) => {
    const name = item.getFilename()
    item.once('done', (_done, state) => {
      switch (state) {
        case 'completed': return dispatcher.publish('message', { kind: 'note', text: `${name} was saved as ${item.getSavePath()}.` })
        case 'cancelled': return dispatcher.publish('message', { kind: 'note', text: `${name} was not saved: the saving was cancelled. Export it again if it is wanted.` })
        case 'interrupted': return dispatcher.publish('message', { kind: 'problem', text: `${name} could not be saved. Look whether the disk has room and the folder can be written, and export it again.` })
      }
    })
  })
}
