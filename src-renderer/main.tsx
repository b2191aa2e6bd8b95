/** Entry of the page: opens the session with the service and draws the app. */
import './zod-jitless'
import './styles/tokens.css'
import './styles/base.css'
import './styles/bench.css'
import './styles/strip.css'
import './styles/pages.css'
import './styles/practice.css'
import './styles/records.css'
import './styles/repair.css'
import './styles/budget.css'
import './styles/register.css'
import './styles/result.css'
import './styles/diagnosis.css'
import './styles/settings.css'
import './styles/checks.css'
import './styles/teach.css'
import './styles/learnt.css'
import './styles/jobs.css'
import './styles/small.css'
import { StrictMode } from 'react'
import { createRoot } from 'react-dom/client'
import { App } from './app/app'
import { openSession, SessionContext } from './app/session'
import { desktopBridge, ipcBridge } from './connection/ipc-bridge'
import { socketBridge } from './connection/socket-bridge'
import { takeToken } from './connection/token'

const place = document.getElementById('app')
if (place === null) throw new Error('index.html has no element with the id "app"; the build is broken.')

const desktop = desktopBridge(window)
const token = desktop === null ? takeToken(window) : null
const session = openSession(desktop === null ? socketBridge(token ?? '') : ipcBridge(desktop))

createRoot(place).render(
  <StrictMode>
    <SessionContext value={session}>
      <App hasToken={token !== ''} />
    </SessionContext>
  </StrictMode>,
)
