import js from '@eslint/js'
import reactHooks from 'eslint-plugin-react-hooks'
import globals from 'globals'
import ts from 'typescript-eslint'

/** Imports go one way: renderer → core, main → core. Each pattern below is an arrow that must not be drawn. */
const wrongArrows = (...patterns) => ['error', { patterns }]
const mainInside = { regex: '(^|/)src-main(/|$)', message: 'src-main holds the side effects; nothing but main and the tests may import it.' }
const rendererInside = { regex: '(^|/)src-renderer(/|$)', message: 'src-renderer only draws; nothing imports it.' }
const outsideCore = {
  regex: '^(?!\\.{1,2}/|zod$|canonicalize$)',
  message: 'src-core is pure: it imports itself, zod, canonicalize and pure maths libraries, nothing else.',
}
const testsInside = { regex: '(^|/)(tests|fixtures)(/|$)', message: 'The app does not import tests or fixtures as code.' }
const noDynamicImport = { selector: 'ImportExpression', message: 'A dynamic import hides its arrow from the import rule.' }
const noClock = [
  { selector: "MemberExpression[object.name='Date'][property.name='now']", message: 'Core has no clock: take the time as an argument.' },
  { selector: "NewExpression[callee.name='Date'][arguments.length=0]", message: 'Core has no clock: take the time as an argument.' },
  { selector: "MemberExpression[object.name='Math'][property.name='random']", message: 'Core has no chance: take a seeded source as an argument.' },
]

export default ts.config(
  { ignores: ['out/**', 'node_modules/**'] },
  { linterOptions: { reportUnusedDisableDirectives: 'error' } },
  js.configs.recommended,
  ...ts.configs.recommended,
  {
    files: ['**/*.{ts,tsx}'],
    rules: {
      '@typescript-eslint/no-explicit-any': 'error',
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_', ignoreRestSiblings: true }],
    },
  },
  { files: ['**/*.mjs', '*.js'], languageOptions: { globals: globals.node } },
  {
    files: ['src-core/**/*.ts'],
    rules: {
      'no-restricted-imports': wrongArrows(outsideCore, mainInside, rendererInside, testsInside),
      'no-restricted-syntax': ['error', noDynamicImport, ...noClock],
      '@typescript-eslint/no-non-null-assertion': 'error',
    },
  },
  {
    files: ['src-renderer/**/*.{ts,tsx}'],
    plugins: { 'react-hooks': reactHooks },
    rules: {
      ...reactHooks.configs.recommended.rules,
      'no-restricted-imports': wrongArrows(mainInside, testsInside, { regex: '^node:', message: 'The renderer runs in a browser.' }),
      'no-restricted-syntax': ['error', noDynamicImport],
    },
  },
  {
    files: ['src-main/**/*.ts'],
    rules: { 'no-restricted-imports': wrongArrows(rendererInside, testsInside), 'no-restricted-syntax': ['error', noDynamicImport] },
  },
)
