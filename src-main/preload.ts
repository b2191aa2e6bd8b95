/** The desktop's preload: a pipe for texts between page and service. It runs in the sandbox and understands nothing. */
import { contextBridge, ipcRenderer, type IpcRendererEvent } from 'electron'
import { bridgeName, contractChannel, type DesktopBridge } from '../src-core/desktop-bridge'

const bridge: DesktopBridge = {
  ask: (text) => ipcRenderer.invoke(contractChannel, text),
  listen: (heard) => {
    const on = (_event: IpcRendererEvent, text: string): void => heard(text)
    ipcRenderer.on(contractChannel, on)
    return () => { ipcRenderer.removeListener(contractChannel, on) }
  },
}

contextBridge.exposeInMainWorld(bridgeName, bridge)
