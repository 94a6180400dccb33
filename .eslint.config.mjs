import { defineConfig } from 'eslint/config';
import tseslint from 'typescript-eslint';

/** Modules that print are those that speak with the person at the terminal. */
const MAY_PRINT = ['agent/commands/**', 'agent/main.ts', '.scripts/**'];

const TYPED = ['**/*.ts', '**/*.tsx'];

/**
 * House rules on top of the strict set: what a reviewer would otherwise have to say by hand.
 *
 * @type {import('eslint').Linter.RulesRecord}
 */
const HOUSE = {
  'no-console': 'error',
  eqeqeq: 'error',
  'no-implicit-coercion': 'error',
  'no-param-reassign': 'error',
  'no-var': 'error',
  'prefer-const': 'error',
  'object-shorthand': 'error',
  'no-warning-comments': ['error', { terms: ['todo', 'fixme', 'xxx', 'hack'] }],
  'no-restricted-syntax': [
    'error',
    { selector: 'ExportDefaultDeclaration', message: 'A default export has no name to search for: export it by name.' },
    { selector: 'ExportAllDeclaration', message: 'Say where things come from: import them from the module that has them.' },
    { selector: 'TSEnumDeclaration', message: 'Use a union of names.' },
  ],
};

/** @type {import('eslint').Linter.RulesRecord} */
const TYPED_HOUSE = {
  '@typescript-eslint/consistent-type-imports': ['error', { fixStyle: 'separate-type-imports' }],
  '@typescript-eslint/no-import-type-side-effects': 'error',
  '@typescript-eslint/switch-exhaustiveness-check': ['error', { considerDefaultExhaustiveForUnions: true }],
  '@typescript-eslint/no-misused-spread': ['error', { allow: ['string'] }],
  '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
  '@typescript-eslint/no-confusing-void-expression': ['error', { ignoreArrowShorthand: true }],
  '@typescript-eslint/prefer-readonly': 'error',
  '@typescript-eslint/ban-ts-comment': ['error', { 'ts-expect-error': true, 'ts-ignore': true, 'ts-nocheck': true }],
};

export default defineConfig(
  { ignores: ['dist/', 'data/', '.cache/', 'coverage/', 'fixtures/'] },
  // A rule that can be switched off in a comment is no rule.
  { linterOptions: { noInlineConfig: true, reportUnusedDisableDirectives: 'error' } },
  { files: ['**/*.mjs'], extends: [tseslint.configs.recommended], rules: HOUSE },
  {
    files: TYPED,
    extends: [tseslint.configs.strictTypeChecked],
    languageOptions: { parserOptions: { projectService: true, tsconfigRootDir: import.meta.dirname } },
    rules: { ...HOUSE, ...TYPED_HOUSE },
  },
  { files: MAY_PRINT, rules: { 'no-console': 'off' } },
  {
    files: ['tests/**'],
    rules: {
      // What a test has just made is there; should it not be, the test fails as it must.
      '@typescript-eslint/no-non-null-assertion': 'off',
    },
  },
  // Tools look for a default export in these.
  { files: ['**/*.config.ts', '.*.mjs'], rules: { 'no-restricted-syntax': 'off' } },
);
