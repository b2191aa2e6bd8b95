/** Serves the app to a browser on this machine until it is told to stop. */
import { openBrowserHost } from '../browser-host'
import { openAppService, startPractice } from './app-service'
import { openBrowser } from './open-browser'
import type { StartOptions } from './options'

/** @throws Error in plain words when the data folder or the port cannot be used, or the practice board is refused. */
export const serveBrowser = async ({ dataFolder, port, open, practice }: StartOptions): Promise<void> => {
  const service = openAppService(dataFolder)
  const host = await openBrowserHost(port ?? 0, service.dispatcher, service.assets)

  let closing = false
  const close = (): void => {
    if (closing) return
    closing = true
    void host.close().then(async () => {
      await service.close()
      process.exit(0)
    })
  }
  process.once('SIGINT', close)
  process.once('SIGTERM', close)

  try {
    if (practice !== null) await startPractice(service, practice)
  } catch (error) {
    await host.close()
    await service.close()
    throw error
  }
  process.stdout.write(open ? `Probewright is at\n${host.address}\nStop it with Ctrl+C.\n` : `${host.address}\n`)
  if (open) openBrowser(host.address)
}
