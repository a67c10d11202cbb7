/** What was typed, as far as it can be understood on the device alone: the server's word counts, this bridges its absence. */

export type Unit = "mm" | "in" | "lines" | "°C" | "";

export type Understood =
    | { readonly kind: "understood"; readonly text: string; readonly said: string }
    | { readonly kind: "wrong"; readonly wrong: string; readonly right: string };

const NUMBER = /^(?<sign>[+-]?)\s*[Øø⌀]?\s*(?<number>\d+(?:[.,]\d*)?|[.,]\d+)\s*(?<unit>[^\d\s.,+-].*)?$/;
const UNITS: Readonly<Record<string, string>> = {
    mm: "mm",
    in: "in",
    "in.": "in",
    inch: "in",
    '"': "in",
    µm: "µm",
    um: "µm",
    c: "°C",
    "°c": "°C",
    f: "°F",
    "°f": "°F",
    line: "lines",
    lines: "lines",
};

/** Write the unit behind a number that has none, so that what is sent says what the person had in view. */
export function withUnit(typed: string, unit: Unit): string {
    const text = typed.trim();
    return (unit === "mm" || unit === "in") && /\d[.,]?$/.test(text) && !text.includes("/") ? `${text} ${unit}` : text;
}

/** Understand a number on the device. Fractions and spoken lengths are kept as typed, for the server to understand. */
export function understand(typed: string, unit: Unit, signed: boolean): Understood {
    const text = typed.trim().replace(/[\u2212\u2013\u2014]/g, "-");
    if (text === "") {
        return wrong("Nothing was entered.", "Enter a number.");
    }
    if (/\d\s*\/\s*\d|thou|tenth/i.test(text)) {
        return { kind: "understood", text, said: text };
    }
    if (/[.,]\d*[.,]/.test(text)) {
        return wrong("Two decimal points in one number can be read in two ways.", "Keep one decimal point.");
    }
    const found = NUMBER.exec(text)?.groups;
    if (found === undefined) {
        return wrong("That is not a number.", "Enter digits, such as 62.004.");
    }
    const { sign = "", number = "", unit: suffix } = found;
    const known = suffix === undefined ? unit : UNITS[suffix.trim().toLowerCase()];
    if (known === undefined) {
        return wrong("That is not a unit held here.", `Enter the number alone, or with ${unit || "its unit"}.`);
    }
    if (sign !== "" && !signed) {
        return wrong("A size has no sign.", "Enter it without plus or minus.");
    }
    const whole = number.replace(",", ".").replace(/^\./, "0.").replace(/\.$/, "");
    const length = known === "mm" || known === "in" || known === "µm";
    return {
        kind: "understood",
        text: length ? `${sign}${whole} ${known}` : `${sign}${whole}${known === "°F" ? " F" : ""}`,
        said: `${sign.replace("-", "\u2212")}${whole}${known === "" ? "" : ` ${known}`}`,
    };
}

/** Put the other sign before what was typed; nothing of it is lost. */
export function otherSign(typed: string): string {
    const text = typed.trimStart();
    if (text.startsWith("-") || text.startsWith("\u2212")) {
        return `+${text.slice(1)}`;
    }
    return `-${text.startsWith("+") ? text.slice(1) : text}`;
}

function wrong(what: string, right: string): Understood {
    return { kind: "wrong", wrong: what, right };
}
