/*
 * Small programs drawn at random, over few names that are written, read, passed on and seen by closures in every order: for the steps of the build
 * that change names and declarations. Used by their tests in Node and in the real interpreter. A program tells what it does by `note`.
 */
import fc from 'fast-check';

/** Statements over a few names, with branches, loops of a fixed count, closures and expressions that write. */
const NAMES = ['a', 'b', 'c', 'd', 'p', 'q'] as const;
const name = fc.constantFrom(...NAMES);
const { statement } = fc.letrec<{ value: string; statement: string }>((tie) => ({
  value: fc.oneof(
    { maxDepth: 3, withCrossShrink: true },
    { arbitrary: name, weight: 5 },
    { arbitrary: fc.nat(9).map(String), weight: 2 },
    { arbitrary: fc.tuple(tie('value'), tie('value')).map(([x, y]) => `(${x}+${y})`), weight: 2 },
    { arbitrary: fc.tuple(name, tie('value')).map(([x, y]) => `(${x}=${y})`), weight: 2 },
    { arbitrary: fc.tuple(tie('value'), tie('value')).map(([x, y]) => `(${x},${y})`), weight: 1 },
    { arbitrary: fc.tuple(tie('value'), tie('value')).map(([x, y]) => `(${x}&&${y})`), weight: 1 },
    { arbitrary: fc.tuple(tie('value'), tie('value'), tie('value')).map(([x, y, z]) => `(${x}?${y}:${z})`), weight: 1 },
    { arbitrary: fc.tuple(tie('value'), tie('value')).map(([x, y]) => `k(${x},${y})`), weight: 1 },
  ),
  statement: fc.oneof(
    { maxDepth: 3, withCrossShrink: true },
    { arbitrary: fc.tuple(name, tie('value')).map(([x, y]) => `${x}=${y};`), weight: 6 },
    { arbitrary: fc.tuple(name, name).map(([x, y]) => `${x}=${y};`), weight: 4 },
    { arbitrary: tie('value').map((x) => `note(${x});`), weight: 4 },
    { arbitrary: fc.tuple(tie('value'), tie('statement'), tie('statement')).map(([x, y, z]) => `if(${x}){${y}}else{${z}}`), weight: 1 },
    { arbitrary: fc.tuple(name, tie('value'), tie('statement'), tie('statement')).map(([w, v, x, y]) => `for(n=0,${w}=${v};n++<3&&m++<20;){${x}${y}}`), weight: 1 },
    { arbitrary: fc.tuple(tie('statement'), tie('statement')).map(([x, y]) => `for(n=0;n++<3&&m++<20;){${x}${y}}`), weight: 1 },
    { arbitrary: fc.tuple(tie('statement'), tie('statement')).map(([x, y]) => x + y), weight: 3 },
    { arbitrary: tie('statement').map((x) => `try{${x}note(missing);}catch(e){note(1);}`), weight: 1 },
    { arbitrary: fc.tuple(tie('statement'), tie('statement')).map(([x, y]) => `g=()=>{var d;d=a;${x}};${y}m++<20&&g();`), weight: 1 },
  ),
})); // prettier-ignore
export const drawnProgram = fc
  .tuple(fc.array(statement, { minLength: 2, maxLength: 9 }))
  .map(
    ([lines]) =>
      `(()=>{var f,g,k,m;m=0;k=(x,y)=>{var z;z=x;note(z);return z+y};f=(p,q)=>{var a,b,c,d,n;${lines.join('')}note(a,b,c,d)};f(1,2);f(0,3)})()`,
  );
