import js from '@eslint/js'
import reactHooks from 'eslint-plugin-react-hooks'
import globals from 'globals'
import ts from 'typescript-eslint'

/** Imports go one way: renderer → core, main → core. Each pattern below is an arrow that must not be drawn. */
const wrongArrows = (...patterns) => ['error', { patterns }]
const mainInside = { regex: '(^|/)src-main(/|$)', message: 'src-main holds the side effects; nothing but main and the tests may import it.' }
const rendererInside = { regex: '(^|/)src-renderer(/|$)', message: 'src-renderer only draws; nothing imports it.' }
const testsInside = { regex: '(^|/)(tests|fixtures)(/|$)', message: 'The app does not import tests or fixtures as code.' }
const detour = { regex: '[^.]/\\.\\.?(/|$)|^\\./\\.|//', message: 'Write the path without detours: they hide where it leads.' }
const outsideCore = {
  regex: '^(?!\\.{1,2}(/|$)|zod$|canonicalize$)',
  message: 'src-core is pure: it imports itself, zod, canonicalize and pure maths libraries, nothing else.',
}
const outsideRenderer = {
  regex: '^(?!\\.{1,2}(/|$)|react$|react/jsx-runtime$|react-dom$|react-dom/client$|zod$)',
  message: 'The renderer runs in a browser and only draws: it imports itself, core, react, react-dom and zod, nothing else.',
}
const electronInside = { regex: '^electron($|/)', message: 'Only the desktop imports electron: plain Node has none, and asking its package for it downloads it.' }
/** Relative imports out of a folder `deep` below its src folder, `but` for where they may lead. */
const leaving = (deep, but = '') => ({ regex: `^\\.\\.(/\\.\\.){${deep}}(/${but === '' ? '' : `(?!${but}/)`}|$)`, message: `This leaves the folder${but === '' ? '' : `, and not for ${but}`}.` })

const late = 'A dynamic import hides its arrow from the import rule.'
const hiddenArrows = [
  { selector: 'TSImportType', message: 'An import type hides its arrow from the import rule: write import type … from.' },
  { selector: 'TSImportEqualsDeclaration', message: 'import = hides its arrow from the import rule.' },
  { selector: "CallExpression[callee.name='require']", message: 'require hides its arrow from the import rule.' },
]
const anyLate = { selector: 'ImportExpression', message: late }
/** A thread loads what its kind of work needs with the first question of that kind. */
const lateButWork = { selector: 'ImportExpression:not([source.value=/^\\.\\u002Ftasks\\u002F[a-z-]+$/])', message: late }
const noClock = 'Core has no clock: take the time as an argument.'
const noChance = 'Core has no chance: take a seeded source as an argument.'
/** Of Date only what reckons with a given time is left, of Math all but chance; neither may be handed on under another name. */
const pure = [
  { selector: "MemberExpression[object.name='Date']:not([computed=false][property.name=/^(parse|UTC)$/])", message: noClock },
  { selector: "NewExpression[callee.name='Date'][arguments.length=0]", message: noClock },
  { selector: ":not(NewExpression, MemberExpression, TSTypeReference) > Identifier[name='Date']", message: noClock },
  { selector: "MemberExpression[object.name='Math']:matches([property.name='random'], [computed=true])", message: noChance },
  { selector: ":not(MemberExpression) > Identifier[name='Math']", message: noChance },
]
const outsideWorld = [
  'globalThis', 'global', 'window', 'self', 'document', 'process', 'console', 'performance', 'crypto', 'fetch', 'Intl',
  'setTimeout', 'setInterval', 'setImmediate', 'queueMicrotask',
].map((name) => ({ name, message: 'src-core is pure: no clock, no I/O, no host.' }))

/** The import rule of one src folder, for files at each depth below it. */
const arrowsOf = (folder, kinds, rules, but) => [0, 1, 2, 3].map((deep) => ({
  files: kinds.map((kind) => `${folder}/${'*/'.repeat(deep)}*.${kind}`),
  rules: { 'no-restricted-imports': wrongArrows(...rules, detour, leaving(deep, but)) },
}))

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
    files: ['src-*/**/*.{ts,tsx}'],
    rules: {
      '@typescript-eslint/no-non-null-assertion': 'error',
      'no-restricted-syntax': ['error', anyLate, ...hiddenArrows],
      'max-lines': ['error', { max: 300, skipBlankLines: false, skipComments: false }],
    },
  },
  {
    files: ['src-core/**/*.ts'],
    rules: { 'no-restricted-syntax': ['error', anyLate, ...hiddenArrows, ...pure], 'no-restricted-globals': ['error', ...outsideWorld] },
  },
  ...arrowsOf('src-core', ['ts'], [outsideCore, mainInside, rendererInside, testsInside]),
  {
    files: ['src-renderer/**/*.{ts,tsx}'],
    plugins: { 'react-hooks': reactHooks },
    rules: reactHooks.configs.recommended.rules,
  },
  ...arrowsOf('src-renderer', ['ts', 'tsx'], [outsideRenderer, mainInside, testsInside], 'src-core'),
  ...arrowsOf('src-main', ['ts'], [rendererInside, testsInside, electronInside], 'src-core'),
  { files: ['src-main/service/worker.ts'], rules: { 'no-restricted-syntax': ['error', lateButWork, ...hiddenArrows] } },
  { files: ['src-main/desktop.ts', 'src-main/preload.ts'], rules: { 'no-restricted-imports': wrongArrows(rendererInside, testsInside, detour, leaving(0, 'src-core')) } },
  { files: ['src-main/desktop/*.ts'], rules: { 'no-restricted-imports': wrongArrows(rendererInside, testsInside, detour, leaving(1, 'src-core')) } },
)
