/** What is made of a thing that doesn't change is made once, and kept as long as the thing is. */
export function once<Thing extends object, Made>(make: (thing: Thing) => Made): (thing: Thing) => Made {
  const made = new WeakMap<Thing, Made>();
  return (thing) => {
    const known = made.get(thing);
    if (known !== undefined) return known;
    const fresh = make(thing);
    made.set(thing, fresh);
    return fresh;
  };
}
