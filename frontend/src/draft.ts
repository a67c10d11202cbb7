/** What is half typed, and the key of the entry that it will be: kept for this tab over a swap and over a reload. */

export interface Draft {
    readonly key: string;
    readonly text: string;
    /** The unit that it is typed in, where it has one. */
    readonly unit: string;
}

/** What a page may keep for itself; the browser's session storage, or nothing that lasts where it refuses. */
export interface Pad {
    getItem(name: string): string | null;
    setItem(name: string, value: string): void;
    removeItem(name: string): void;
}

export class Drafts {
    readonly #pad: Pad;
    readonly #newKey: () => string;
    readonly #held = new Map<string, Draft>();

    constructor(pad: Pad, newKey: () => string) {
        this.#pad = pad;
        this.#newKey = newKey;
    }

    /** The draft of a form; its key is made when it is first asked for and stays until the entry is in. */
    of(name: string): Draft {
        const held = this.#held.get(name) ?? this.#read(name);
        return held ?? this.#hold(name, { key: this.#newKey(), text: "", unit: "" });
    }

    /** Keep what stands in the form now. */
    type(name: string, text: string, unit = ""): void {
        this.#hold(name, { ...this.of(name), text, unit });
    }

    /** Begin another entry: the one before is in, or waits under its own key. */
    renew(name: string): void {
        this.#held.delete(name);
        try {
            this.#pad.removeItem(stored(name));
        } catch {
            // Kept in memory alone.
        }
    }

    #read(name: string): Draft | null {
        try {
            const value: unknown = JSON.parse(this.#pad.getItem(stored(name)) ?? "null");
            if (typeof value === "object" && value !== null && "key" in value && "text" in value) {
                const unit = "unit" in value ? String(value.unit) : "";
                return this.#hold(name, { key: String(value.key), text: String(value.text), unit });
            }
        } catch {
            // As if nothing had been kept.
        }
        return null;
    }

    #hold(name: string, draft: Draft): Draft {
        this.#held.set(name, draft);
        try {
            this.#pad.setItem(stored(name), JSON.stringify(draft));
        } catch {
            // Kept in memory alone.
        }
        return draft;
    }
}

function stored(name: string): string {
    return `borewright.draft.${name}`;
}
