/** What this device is asked to remember: who stands at it, and how it shows things. */

export interface Settings {
    /** Name as entered; nobody checks it. */
    readonly person: string;
    /** Unit shown: the drawing's own where it is empty. */
    readonly show: "" | "mm" | "in";
    readonly text: "normal" | "large" | "huge";
    readonly theme: "system" | "light" | "dark";
    readonly speak: "off" | "on";
}

export type Setting = keyof Settings;

export const USUAL: Settings = { person: "", show: "", text: "normal", theme: "system", speak: "off" };

const CHOICES: Readonly<Record<Exclude<Setting, "person">, readonly string[]>> = {
    show: ["", "mm", "in"],
    text: ["normal", "large", "huge"],
    theme: ["system", "light", "dark"],
    speak: ["off", "on"],
};

/** Longest name that is kept. */
export const LONGEST_NAME = 60;

export function isSetting(name: string | undefined): name is Setting {
    return name !== undefined && name in USUAL;
}

/** Read one setting; what is not among its choices counts as the usual one. */
export function setting<S extends Setting>(name: S): Settings[S] {
    const value = read(name) ?? USUAL[name];
    const choices = name === "person" ? null : CHOICES[name as Exclude<Setting, "person">];
    return (choices === null || choices.includes(value) ? value : USUAL[name]) as Settings[S];
}

export function keep(name: Setting, value: string): void {
    try {
        localStorage.setItem(`borewright.${name}`, name === "person" ? value.slice(0, LONGEST_NAME) : value);
    } catch {
        // A browser that keeps nothing shows the usual ones at the next visit.
    }
}

/** Give the page its look: the attributes that the style sheet knows. */
export function dress(root: HTMLElement): void {
    mark(root, "theme", setting("theme"), "system");
    mark(root, "text", setting("text"), "normal");
}

function mark(root: HTMLElement, name: string, value: string, usual: string): void {
    if (value === usual) {
        delete root.dataset[name];
    } else {
        root.dataset[name] = value;
    }
}

function read(name: Setting): string | null {
    try {
        return localStorage.getItem(`borewright.${name}`);
    } catch {
        return null;
    }
}
