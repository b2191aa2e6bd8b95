/** Puts a meter whose checks are a minute old into a data folder, so that a measurement of the app need not repeat them. */
import { usualBenchKit, type Meter } from '../../src-core/meter/instrument'
import { openStoreFile } from '../../src-main/service/store/open-store'
import { openShopStore } from '../../src-main/service/store/shop-store'

export const makeCheckedMeter = (dataFolder: string, port: string): Meter => {
  const utc = new Date(Date.now() - 60_000).toISOString()
  const run = 'checked'
  const meter: Meter = {
    id: 'bench-meter', name: 'Bench meter', description: 'Line meter A', port, isolated: 'yes', accuracy: {},
    air: [
      { function: 'resistance', range: null, apart: 'overload', joined: { from: 0, to: 0.2 } }, { function: 'diode', range: null, apart: 'overload', joined: null },
      { function: 'dc-voltage', range: null, apart: { from: -0.004, to: 0.004 }, joined: null },
    ],
    leadCheck: { utc, ohms: 0.12, U: 0.06, resolution: 0.1, run }, diodeCheck: { utc, forwardVolts: 0.58, run }, sourceCheck: { utc, volts: 1.55, run },
  }
  const database = openStoreFile(dataFolder)
  const shop = openShopStore(database)
  shop.saveMeter(meter, utc)
  shop.saveKit(usualBenchKit)
  database.close()
  return meter
}
