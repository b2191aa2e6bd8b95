/** Ends a test run with one plain line that any CI can read: "N passed, N failed, N skipped". */
import type { Reporter, TestModule } from 'vitest/node'

export default class ClosingLine implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], errors: readonly unknown[]): void {
    const count = { passed: 0, failed: errors.length, skipped: 0 }
    for (const module of modules) {
      const tests = [...module.children.allTests()]
      for (const test of tests) {
        const { state } = test.result()
        if (state !== 'pending') count[state] += 1
      }
      // A file that does not load has no tests, and has failed all the same.
      if (module.state() === 'failed' && tests.every((test) => test.result().state !== 'failed')) count.failed += 1
    }
    process.stdout.write(`\n${count.passed} passed, ${count.failed} failed, ${count.skipped} skipped\n`)
  }
}
