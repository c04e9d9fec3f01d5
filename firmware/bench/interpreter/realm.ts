/*
 * A Node context as poor as the interpreter, and the bundle compiled in it. Each boot gets one in which nothing of an older boot stands. To make and
 * to warm one up costs about as much as an hour of night: a campaign keeps those of boots that are over and hands them out again,
 * with the program's globals taken away; one in which anything built in is not as it was is never used again.
 */
import vm from 'node:vm';
import { missingInInterpreter } from './missing-in-interpreter.js';

type Program = (...values: unknown[]) => void;

interface Shape {
  readonly prototype: object | null;
  readonly isExtensible: boolean;
  readonly properties: Map<PropertyKey, PropertyDescriptor>;
}

/** Everything that can be reached from an object, itself included. */
type Reachable = Map<object, Shape>;

function isObject(value: unknown): value is object {
  return (typeof value === 'object' && value !== null) || typeof value === 'function';
}

function reachableFrom(root: object): Reachable {
  const found: Reachable = new Map();
  const waiting = [root];
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    if (found.has(next)) continue;
    const properties = new Map<PropertyKey, PropertyDescriptor>();
    const prototype = Reflect.getPrototypeOf(next);
    found.set(next, { prototype, isExtensible: Reflect.isExtensible(next), properties });
    for (const key of Reflect.ownKeys(next)) {
      const descriptor = Reflect.getOwnPropertyDescriptor(next, key)!;
      properties.set(key, descriptor);
      for (const value of [descriptor.value, descriptor.get, descriptor.set] as unknown[])
        if (isObject(value)) waiting.push(value);
    }
    if (prototype !== null) waiting.push(prototype);
  }
  return found;
}

function isAsItWas(object: object, { prototype, isExtensible, properties }: Shape): boolean {
  if (Reflect.getPrototypeOf(object) !== prototype || Reflect.isExtensible(object) !== isExtensible) return false;
  const keys = Reflect.ownKeys(object);
  if (keys.length !== properties.size) return false;
  return keys.every((key) => {
    const before = properties.get(key);
    const now = Reflect.getOwnPropertyDescriptor(object, key)!;
    return (
      before !== undefined &&
      Object.is(before.value, now.value) &&
      before.get === now.get &&
      before.set === now.set &&
      before.writable === now.writable &&
      before.enumerable === now.enumerable &&
      before.configurable === now.configurable
    );
  });
}

export class Realm {
  readonly context = vm.createContext({}, { name: 'virtual board' });
  readonly global: object;
  readonly own: { Array: ArrayConstructor; Uint8Array: Uint8ArrayConstructor; Error: ErrorConstructor; JSON: JSON };
  #program: Program | undefined;
  #asItWas: Reachable | undefined;

  constructor(readonly bundle: string) {
    (vm.runInContext(missingInInterpreter, this.context) as () => void)();
    this.global = this.valueOf('globalThis') as object;
    this.own = this.valueOf('({ Array: Array, Uint8Array: Uint8Array, Error: Error, JSON: JSON })') as never;
  }

  valueOf(expression: string): unknown {
    return vm.runInContext(expression, this.context);
  }

  /** Notes how everything is, for `isClean`. Before the program runs for the first time. */
  remember(): void {
    this.#asItWas ??= reachableFrom(this.global);
  }

  /** The bundle as a function of the API's names; the same names each time. */
  program(names: readonly string[]): Program {
    this.#program ??= vm.compileFunction(this.bundle, [...names], {
      parsingContext: this.context,
      filename: 'bundle.js',
    }) as Program;
    return this.#program;
  }

  /** Takes the globals of the last boot away. False: something built in was changed, or there are globals that do not go. */
  isClean(): boolean {
    const before = this.#asItWas;
    if (before === undefined) return false;
    const globals = before.get(this.global)!.properties;
    for (const key of Reflect.ownKeys(this.global)) if (!globals.has(key)) Reflect.deleteProperty(this.global, key);
    for (const [object, shape] of before) if (!isAsItWas(object, shape)) return false;
    return true;
  }
}

/** Realms of boots that are over. One for each thread of a campaign. */
export class RealmPool {
  readonly #idle = new Map<string, Realm[]>();

  take(bundle: string): Realm {
    const idle = this.#idle.get(bundle) ?? [];
    for (let realm = idle.pop(); realm !== undefined; realm = idle.pop()) if (realm.isClean()) return realm;
    const fresh = new Realm(bundle);
    fresh.remember();
    return fresh;
  }

  /** Looked through when it is taken again: what is still on its way out of the old boot may have left something until then. */
  giveBack(realm: Realm): void {
    const idle = this.#idle.get(realm.bundle);
    if (idle === undefined) this.#idle.set(realm.bundle, [realm]);
    else idle.push(realm);
  }
}
