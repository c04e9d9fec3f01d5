/*
 * Lint rules: strict TypeScript everywhere, promises never left alone, the core kept pure, and a ban list for the code
 * that the Espruino interpreter runs. The bundle is checked once more, after compiling, by the gate in firmware/build.
 */
import { defineConfig, globalIgnores } from 'eslint/config';
import tseslint from 'typescript-eslint';

/** Syntax that the interpreter lacks, or runs differently without a sound. It parses a function only when it is called. */
const interpreterSyntax = [
  ['ChainExpression', 'No ?. : test for undefined.'],
  [':function > RestElement, SpreadElement', 'No spread or rest: write the loop.'],
  ['AssignmentPattern', 'No default parameters: test for undefined.'],
  ['ObjectPattern, ArrayPattern', 'No destructuring: read the fields.'],
  ['[async=true], AwaitExpression', 'No async functions: use callbacks.'],
  ['[generator=true], YieldExpression', 'No generators.'],
  ['LabeledStatement', 'No labels: return from a function of its own.'],
  ['BinaryExpression[operator="**"], AssignmentExpression[operator="**="]', 'No **: multiply.'],
  ['AssignmentExpression[operator=/^(\\?\\?|\\|\\||&&)=$/]', 'No logical assignment: write it out.'],
  ['ObjectExpression > Property[computed=true]', 'No computed keys in an object literal: assign them after it.'],
  ['PropertyDefinition[value=null][declare!=true]', 'A class field without a value is lost: give it one.'],
  ['PrivateIdentifier', 'No #private: use private.'],
  ['ClassDeclaration[superClass.name="Error"]', 'A class that extends Error breaks: return a value.'],
  ['SwitchCase[test=null]:not(:last-child)', 'default must be the last case.'],
  ['FunctionDeclaration FunctionDeclaration', 'No function declaration within a function: it is not hoisted.'],
  ['Literal[regex], NewExpression[callee.name="RegExp"]', 'No regular expressions: compare characters.'],
  ['Literal[bigint]', 'No BigInt.'],
  ['Literal[value=/[^\\x00-\\x7F]/], TemplateElement[value.raw=/[^\\x00-\\x7F]/]', 'Strings are bytes: ASCII only.'],
];

/** Library calls that the interpreter lacks, or that answer differently. */
const interpreterLibrary = [
  [
    'AssignmentExpression[left.property.name="length"], UpdateExpression[argument.property.name="length"]',
    'array.length cannot be set: make a new array, or pop.',
  ],
  [
    'MemberExpression[property.name="toFixed"]',
    'toFixed truncates ((0.996).toFixed(2) is "0.99"): scale, Math.round, and build the text.',
  ],
  [
    'CallExpression > MemberExpression.callee[property.name=/^(toPrecision|toExponential|flat|flatMap|lastIndexOf|reduceRight|matchAll|replaceAll|at)$/]',
    'This method is missing.',
  ],
  ['MemberExpression[object.name="Array"][property.name=/^(from|of|prototype)$/]', 'Missing: write the loop.'],
  [
    'MemberExpression[object.name="Number"]',
    'Number.isFinite, isInteger and others are missing: use isFinite, Math.floor.',
  ],
  ['MemberExpression[object.name="Math"][property.name=/^(trunc|hypot|log10|log2|fround|imul|cbrt)$/]', 'Missing.'],
  ['MemberExpression[object.name="Object"][property.name=/^(freeze|is|seal|fromEntries)$/]', 'Missing.'],
  ['Identifier[name=/^(Map|Set|WeakMap|WeakSet|Symbol|BigInt|Proxy|Reflect|Intl)$/]', 'Missing: use objects, arrays.'],
  [
    'CallExpression[callee.name=/^clear(Timeout|Interval|Watch)$/][arguments.length=0]',
    'Without an argument this clears every timer of the program.',
  ],
];

const named = (bans) => bans.map(([selector, message]) => ({ selector, message }));

/** What would make the core's answers depend on anything but its arguments. (Timers, console, process: the compiler.) */
const impurities = [
  ['MemberExpression[object.name="Date"][property.name="now"]', 'The core has no clock: take the time as an argument.'],
  ['NewExpression[callee.name="Date"][arguments.length=0]', 'The core has no clock: take the time as an argument.'],
  ['MemberExpression[object.name="Math"][property.name="random"]', 'The core has no chance: take the seed or value.'],
];

const interpreted = [
  'firmware/src/**/*.ts',
  'firmware/bring-up/**/*.ts',
  'shared-core/src/control/**/*.ts',
  'shared-core/src/messages/**/*.ts',
];

export default defineConfig(
  globalIgnores(['**/dist/**', '**/node_modules/**', 'coverage/**']),
  ...tseslint.configs.strict,
  {
    rules: {
      eqeqeq: 'error',
      'no-var': 'error',
      'prefer-const': 'error',
      // An index into a typed array that a loop bounds is not worth a test for undefined.
      '@typescript-eslint/no-non-null-assertion': 'off',
      '@typescript-eslint/no-invalid-void-type': 'off',
      '@typescript-eslint/no-dynamic-delete': 'off',
      '@typescript-eslint/unified-signatures': 'off',
      '@typescript-eslint/no-unused-vars': [
        'error',
        { argsIgnorePattern: '^_', varsIgnorePattern: '^_', caughtErrorsIgnorePattern: '^_' },
      ],
      '@typescript-eslint/consistent-type-imports': ['error', { fixStyle: 'inline-type-imports' }],
    },
  },
  {
    files: ['**/*.ts', '**/*.tsx'],
    ignores: ['**/*.config.ts', '**/*.d.ts'],
    languageOptions: { parserOptions: { projectService: true, tsconfigRootDir: import.meta.dirname } },
    rules: {
      '@typescript-eslint/no-floating-promises': ['error', { ignoreVoid: true }],
      '@typescript-eslint/no-misused-promises': 'error',
      '@typescript-eslint/await-thenable': 'error',
      '@typescript-eslint/only-throw-error': 'error',
      '@typescript-eslint/prefer-promise-reject-errors': 'error',
      '@typescript-eslint/return-await': ['error', 'error-handling-correctness-only'],
      '@typescript-eslint/switch-exhaustiveness-check': ['error', { considerDefaultExhaustiveForUnions: true }],
      '@typescript-eslint/no-base-to-string': 'error',
      '@typescript-eslint/restrict-plus-operands': ['error', { allowNumberAndString: true }],
      '@typescript-eslint/no-unnecessary-type-assertion': 'error',
      '@typescript-eslint/no-for-in-array': 'error',
      '@typescript-eslint/no-implied-eval': 'error',
    },
  },
  {
    files: ['shared-core/src/**/*.ts'],
    rules: { 'no-restricted-syntax': ['error', ...named(impurities)] },
  },
  {
    files: interpreted,
    ignores: ['**/*.d.ts'],
    rules: {
      'no-restricted-syntax': [
        'error',
        ...named(interpreterSyntax),
        ...named(interpreterLibrary),
        ...named(impurities),
      ],
      // Neither functions nor var are hoisted. (A variable may be named in a function that runs later.)
      'no-use-before-define': 'off',
      '@typescript-eslint/no-use-before-define': ['error', { functions: true, variables: false, typedefs: false }],
      // What was thrown is told as text, whatever it is.
      '@typescript-eslint/restrict-plus-operands': 'off',
      // The interpreter loads its built-in modules with require.
      '@typescript-eslint/no-require-imports': 'off',
    },
  },
  // Programs in the interpreter's own dialect, and programs that are wrong on purpose.
  {
    files: ['tests/interpreter/**/*.js', 'tests/**/fixtures/**/*.js'],
    rules: {
      'no-var': 'off',
      'prefer-const': 'off',
      '@typescript-eslint/no-unused-vars': 'off',
      '@typescript-eslint/no-require-imports': 'off',
    },
  },
);
