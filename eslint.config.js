/*
 * Lint rules: strict TypeScript everywhere, and a ban list for the code that the Espruino interpreter runs.
 * The bundle is checked once more, after compiling, by the static gate in firmware/build.
 */
import tseslint from 'typescript-eslint';

/** What the interpreter lacks, or does differently without a sound: found only when executed, so it is refused here. */
const interpreterSyntax = [
  ['RestElement, SpreadElement', 'No spread or rest: write the loop.'],
  ['AssignmentPattern', 'No default parameters or destructuring defaults: test for undefined.'],
  ['ObjectPattern, ArrayPattern', 'No destructuring: read the fields.'],
  ['[async=true], AwaitExpression', 'No async functions: use callbacks.'],
  ['[generator=true], YieldExpression', 'No generators.'],
  ['LabeledStatement', 'No labels.'],
  ['BinaryExpression[operator="**"], AssignmentExpression[operator="**="]', 'No **: multiply.'],
  ['AssignmentExpression[operator=/^(\\?\\?=|\\|\\|=|&&=)$/]', 'No logical assignment: write it out.'],
  ['Literal[regex]', 'Regular expressions are not to be trusted: compare characters.'],
  ['AssignmentExpression[left.property.name="length"]', 'array.length cannot be set: make a new array.'],
  [
    'MemberExpression[property.name=/^(toFixed|toPrecision|toExponential|flat|flatMap|lastIndexOf|reduceRight)$/]',
    'Missing or wrong in the interpreter (toFixed truncates).',
  ],
  ['MemberExpression[object.name="Array"][property.name=/^(from|of)$/]', 'Missing in the interpreter.'],
  ['MemberExpression[object.name="Number"]', 'Number.* is missing in the interpreter: use isFinite, Math.'],
  ['MemberExpression[object.name="Math"][property.name=/^(trunc|hypot|log10)$/]', 'Missing in the interpreter.'],
  ['MemberExpression[object.name="Object"][property.name=/^(freeze|is)$/]', 'Missing in the interpreter.'],
  ['Identifier[name=/^(Map|Set|Symbol|WeakMap|BigInt)$/]', 'Missing in the interpreter.'],
  ['Property[computed=true][parent.type="ObjectExpression"]', 'No computed keys in object literals.'],
  ['FunctionDeclaration FunctionDeclaration', 'No function declarations within functions: they are not hoisted.'],
].map(([selector, message]) => ({ selector, message }));

export default tseslint.config(
  { ignores: ['**/dist/**', '**/node_modules/**', 'coverage/**'] },
  ...tseslint.configs.strict,
  {
    rules: {
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_' }],
      '@typescript-eslint/no-non-null-assertion': 'off',
      '@typescript-eslint/no-invalid-void-type': 'off',
      '@typescript-eslint/no-dynamic-delete': 'off',
      '@typescript-eslint/unified-signatures': 'off',
      eqeqeq: 'error',
      'no-var': 'error',
      'prefer-const': 'error',
    },
  },
  {
    files: ['firmware/src/**/*.ts', 'shared-core/src/control/**/*.ts', 'shared-core/src/messages/{topics,wire}.ts'],
    ignores: ['**/*.d.ts'],
    rules: { 'no-restricted-syntax': ['error', ...interpreterSyntax], '@typescript-eslint/no-require-imports': 'off' },
  },
  {
    files: ['**/*.mjs', 'eslint.config.js', '**/*.config.ts'],
    rules: { '@typescript-eslint/no-require-imports': 'off' },
  },
  { files: ['tests/interpreter/**/*.js', 'tests/**/fixtures/**'], rules: { 'no-var': 'off' } },
);
