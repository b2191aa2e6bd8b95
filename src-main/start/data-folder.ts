/** Where runs, meters and the user's own files lie when nobody says otherwise: where this system keeps such things. */
import { homedir } from 'node:os'
import { join } from 'node:path'

export const usualDataFolder = (): string => {
  switch (process.platform) {
    case 'win32': return join(process.env.APPDATA ?? join(homedir(), 'AppData', 'Roaming'), 'Probewright')
    case 'darwin': return join(homedir(), 'Library', 'Application Support', 'Probewright')
    default: return join(process.env.XDG_DATA_HOME ?? join(homedir(), '.local', 'share'), 'probewright')
  }
}
