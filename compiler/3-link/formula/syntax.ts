/**
 * The text of a formula to a tree of operators, names and numbers. Knows no units and no readings.
 *
 * Ordinary algebra, left to right, with the usual precedence: comparison, sum, product, sign, power. A hyphen between
 * letters or digits belongs to a name (`cut-in`); a minus has a blank beside it or is written −. The general-purpose
 * library that the tests compare with is not used here: loading it takes longer than the whole check, and it knows
 * neither such names, nor the decimal comma, nor where in the text a part stands.
 */
import type { Operator } from "../../model/formula.ts";
import { unitOf } from "../../model/units.ts";

/** Longer ones are refused unread. */
export const MAX_LENGTH = 1000;
/** Brackets, functions, signs and powers inside one another; deeper ones are refused. */
export const MAX_DEPTH = 40;

interface Extent {
  /** Offsets in the text, half-open. */
  readonly start: number;
  readonly end: number;
}
export type Syntax = Extent &
  (
    | { readonly kind: "number"; readonly value: number }
    | { readonly kind: "name"; readonly name: string }
    | { readonly kind: "operation"; readonly operator: Operator; readonly operands: readonly Syntax[] }
  );

export interface Fault extends Extent {
  readonly message: string;
  readonly hint: string;
}

type Token = Extent & { readonly kind: "number" | "name" | "sign" | "end"; readonly text: string };

const pattern =
  /(?<number>\d+(?:[.,]\d+)?)|(?<name>[a-z][a-z0-9]*(?:-[a-z0-9]+)*(?:\.[a-z0-9]+(?:-[a-z0-9]+)*)?)|(?<sign><=|>=|[-+−–*×·/÷^²³()<>≤≥,;])|(?<blank>\s+)/uy;

/** Other spellings of the same sign. */
const spelt: Readonly<Record<string, string>> = {
  "−": "-",
  "–": "-",
  "×": "*",
  "·": "*",
  "÷": "/",
  "≤": "<=",
  "≥": ">=",
  ";": ",",
};

/** Functions by name: the operator, and how many operands it may have. */
const functions: Readonly<Record<string, readonly [operator: Operator, least: number, most: number]>> = {
  sqrt: ["SQRT", 1, 1],
  root: ["ROOT", 2, 2],
  log10: ["LOG", 1, 1],
  round: ["ROUND", 1, 1],
  min: ["MIN", 2, 20],
  max: ["MAX", 2, 20],
  if: ["IF", 3, 3],
};
const functionNames: readonly string[] = Object.keys(functions);

/** For a unit that stands in a formula. */
export const noUnits =
  "a formula holds plain numbers and names: ask for the amount under `readings:`, with its unit, and name it here";

/** Never throws; the first fault that is met is told. */
export function readFormula(text: string): Syntax | { readonly fault: Fault } {
  if (text.length > MAX_LENGTH)
    return {
      fault: {
        start: 0,
        end: text.length,
        message: `the formula is ${text.length} characters long; at most ${MAX_LENGTH} are read`,
        hint: "split it into several measurements, or check whether something was pasted twice",
      },
    };
  try {
    return new Reader(text).read();
  } catch (error) {
    if (error instanceof Stop) return { fault: error.fault };
    throw error;
  }
}

/** Leaves the descent at the first fault; never leaves this file. */
class Stop extends Error {
  readonly fault: Fault;
  constructor(fault: Fault) {
    super(fault.message);
    this.fault = fault;
  }
}

class Reader {
  readonly #text: string;
  readonly #tokens: readonly Token[];
  #position = 0;
  #depth = 0;

  constructor(text: string) {
    this.#text = text;
    this.#tokens = this.#scan();
  }

  read(): Syntax {
    const formula = this.#comparison();
    const rest = this.#next;
    if (rest.kind === "end") return formula;
    if (rest.text === ")") this.#stop(rest, "a bracket is closed here that was never opened", "delete it, or add `(`");
    if (rest.text === ",")
      this.#stop(rest, "a comma stands outside of a function", "write a decimal number with a point: `2.5`");
    return this.#stop(
      rest,
      `a sign is missing before \`${rest.text}\``,
      unitOf(rest.text) ? noUnits : "put +, −, × or ÷ between two values; there is no silent multiplication",
    );
  }

  #scan(): Token[] {
    const tokens: Token[] = [];
    const isCall: boolean[] = [];
    pattern.lastIndex = 0;
    while (pattern.lastIndex < this.#text.length) {
      const start = pattern.lastIndex;
      const groups = pattern.exec(this.#text)?.groups;
      if (!groups) {
        const sign = String.fromCodePoint(this.#text.codePointAt(start) ?? 0);
        this.#stop(
          { start, end: start + sign.length },
          `\`${sign}\` means nothing in a formula`,
          sign === "?"
            ? "a condition is written `if(a > b, x, y)`"
            : sign === "="
              ? "compare with <, >, <= or >=; equality of measured values means nothing"
              : /[A-Z]/.test(sign)
                ? "names are written in small letters"
                : `it understands + − × ÷ ^ ² ³ ( ) < > and ${functionNames.join(", ")}`,
        );
      }
      const extent = { start, end: pattern.lastIndex };
      const { number, name, sign } = groups;
      if (number !== undefined) {
        if (number.includes(",") && (isCall.at(-1) || /^[1-9]\d{0,2},\d{3}$/.test(number)))
          this.#stop(
            extent,
            `\`${number}\` can be read in two ways`,
            isCall.at(-1)
              ? `write \`${number.replace(",", ".")}\`, or \`${number.replace(",", ", ")}\` for two values`
              : `write \`${number.replace(",", ".")}\` or \`${number.replace(",", "")}\``,
          );
        tokens.push({ kind: "number", text: number, ...extent });
      } else if (name !== undefined) tokens.push({ kind: "name", text: name, ...extent });
      else if (sign !== undefined) {
        if (sign === "(") isCall.push(tokens.at(-1)?.kind === "name");
        if (sign === ")") isCall.pop();
        tokens.push({ kind: "sign", text: spelt[sign] ?? sign, ...extent });
      }
    }
    tokens.push({ kind: "end", text: "", start: this.#text.length, end: this.#text.length });
    return tokens;
  }

  get #next(): Token {
    return this.#tokens[this.#position] as Token;
  }
  /** The next token, if it is one of these signs. */
  #take(...signs: readonly string[]): Token | undefined {
    const token = this.#next;
    if (token.kind !== "sign" || !signs.includes(token.text)) return undefined;
    this.#position += 1;
    return token;
  }
  #stop(at: Extent, message: string, hint: string): never {
    throw new Stop({ start: at.start, end: at.end, message, hint });
  }
  /** One level deeper, for every rule that calls itself. */
  #deeper<T>(read: () => T): T {
    this.#depth += 1;
    if (this.#depth > MAX_DEPTH)
      this.#stop(
        this.#next,
        `the formula is nested more than ${MAX_DEPTH} deep here`,
        "split it into several measurements, or take brackets out",
      );
    const result = read();
    this.#depth -= 1;
    return result;
  }

  #comparison(): Syntax {
    const left = this.#sum();
    const sign = this.#take("<", "<=", ">", ">=");
    return sign ? operation(sign.text as Operator, [left, this.#sum()]) : left;
  }
  #sum(): Syntax {
    let left = this.#product();
    for (let sign = this.#take("+", "-"); sign; sign = this.#take("+", "-"))
      left = operation(sign.text as Operator, [left, this.#product()]);
    return left;
  }
  #product(): Syntax {
    let left = this.#signed();
    for (let sign = this.#take("*", "/"); sign; sign = this.#take("*", "/"))
      left = operation(sign.text as Operator, [left, this.#signed()]);
    return left;
  }
  #signed(): Syntax {
    const sign = this.#take("-");
    if (!sign) return this.#power();
    const operand = this.#deeper(() => this.#signed());
    return { ...operation("NEG", [operand]), start: sign.start };
  }
  /** To the right: 2 ^ 3 ^ 2 is 2 ^ 9. Binds closer than a sign before it: −2² is −4. */
  #power(): Syntax {
    let base = this.#single();
    for (let sign = this.#take("²", "³"); sign; sign = this.#take("²", "³"))
      base = {
        ...operation("^", [
          base,
          { kind: "number", value: sign.text === "²" ? 2 : 3, start: sign.start, end: sign.end },
        ]),
        end: sign.end,
      };
    return this.#take("^") ? operation("^", [base, this.#deeper(() => this.#signed())]) : base;
  }
  #single(): Syntax {
    const token = this.#next;
    if (token.kind === "number") {
      this.#position += 1;
      return { kind: "number", value: Number(token.text.replace(",", ".")), start: token.start, end: token.end };
    }
    if (token.kind === "name") {
      this.#position += 1;
      return this.#next.text === "(" ? this.#call(token) : { ...token, kind: "name", name: token.text };
    }
    const open = this.#take("(");
    if (open) {
      const inner = this.#deeper(() => this.#comparison());
      const close = this.#take(")") ?? this.#unclosed(open);
      return { ...inner, start: open.start, end: close.end };
    }
    const before = this.#tokens[this.#position - 1];
    const at = token.kind === "end" && before ? before : token;
    return this.#stop(
      at,
      token.kind === "end"
        ? "the formula lacks a reading or a number"
        : `a reading or a number is missing before \`${this.#text.slice(token.start, token.end)}\``,
      "put a value on both sides of every sign",
    );
  }
  #call(name: Token): Syntax {
    const known = Object.hasOwn(functions, name.text) ? functions[name.text] : undefined;
    if (!known)
      this.#stop(
        name,
        `\`${name.text}\` is no function`,
        `the functions are ${functionNames.map((one) => `\`${one}\``).join(", ")}; a product is written with ×`,
      );
    const [operator, least, most] = known;
    const open = this.#take("(") ?? name;
    const operands: Syntax[] = [];
    this.#deeper(() => {
      do operands.push(this.#comparison());
      while (this.#take(","));
    });
    const close = this.#take(")") ?? this.#unclosed(open);
    const extent = { start: name.start, end: close.end };
    if (operands.length < least || operands.length > most)
      this.#stop(
        extent,
        `\`${name.text}\` takes ${least === most ? least : `${least} or more`} value${most === 1 ? "" : "s"}, not ${operands.length}`,
        name.text === "if" ? "write `if(a > b, x, y)`" : "separate values with a comma and a blank",
      );
    const [first, ...more] = operands as [Syntax, ...Syntax[]];
    if (operator !== "MIN" && operator !== "MAX") return { kind: "operation", operator, operands, ...extent };
    return more.reduce<Syntax>((joined, next) => ({ ...operation(operator, [joined, next]), ...extent }), first);
  }
  #unclosed(open: Extent): never {
    const rest = this.#next;
    return rest.kind === "end"
      ? this.#stop(open, "this bracket is never closed", "add `)`")
      : this.#stop(
          rest,
          `a sign is missing before \`${this.#text.slice(rest.start, rest.end)}\``,
          unitOf(rest.text) ? noUnits : "put +, −, × or ÷ between two values, or close the bracket",
        );
  }
}

function operation(operator: Operator, operands: readonly [Syntax, ...Syntax[]]): Syntax {
  const last = operands.at(-1) as Syntax;
  return { kind: "operation", operator, operands, start: operands[0].start, end: last.end };
}
