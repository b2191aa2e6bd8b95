/** Imported before anything else: zod must not probe `new Function`, which the page's policy forbids. */
import { z } from 'zod'

z.config({ jitless: true })
