import js from '@eslint/js';
import tseslint from 'typescript-eslint';

export default tseslint.config(
  { ignores: ['dist/', 'node_modules/', 'coverage/', 'sample-frames/', 'src/kernels/assembly/'] },
  js.configs.recommended,
  ...tseslint.configs.recommended,
  {
    files: ['**/*.ts'],
    languageOptions: { parserOptions: { projectService: true } },
    rules: {
      '@typescript-eslint/no-floating-promises': 'error',
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_' }],
      eqeqeq: 'error',
      'no-console': 'error',
    },
  },
  {
    // Only the entry file talks to the process; everything else returns values or takes a stream.
    files: ['src/**/*.ts'],
    ignores: ['src/cli/main.ts'],
    rules: { 'no-restricted-globals': ['error', 'process'] },
  },
  {
    files: ['tests/**/*.{js,mjs,ts}', 'eslint.config.js'],
    languageOptions: {
      globals: { process: 'readonly', console: 'readonly', Buffer: 'readonly', URL: 'readonly' },
    },
    rules: { 'no-console': 'off' },
  },
);
