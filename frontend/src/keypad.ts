/** Big keys for a gloved finger: they type into the one number field of their form, at its caret. */

import { otherSign } from "./typed.ts";

export class Keypad extends HTMLElement {
    connectedCallback(): void {
        this.addEventListener("click", this.#pressed);
        this.addEventListener("pointerdown", this.#held);
    }

    disconnectedCallback(): void {
        this.removeEventListener("click", this.#pressed);
        this.removeEventListener("pointerdown", this.#held);
    }

    get #input(): HTMLInputElement | null {
        return this.closest("form")?.querySelector<HTMLInputElement>("input[data-value]") ?? null;
    }

    /** A finger on a key does not take the caret out of the field. */
    readonly #held = (event: Event): void => {
        if (keyOf(event) !== null) {
            event.preventDefault();
        }
    };

    readonly #pressed = (event: Event): void => {
        const key = keyOf(event);
        const input = this.#input;
        if (key !== null && input !== null && !input.readOnly) {
            press(input, key);
        }
    };
}

/** Type one key into a field, as a hand at a keyboard would; whoever listens for input hears of it. */
export function press(input: HTMLInputElement, key: string): void {
    const before = input.value;
    const [start, end] = caret(input);
    if (key === "sign") {
        input.value = otherSign(before);
    } else if (key === "clear") {
        input.value = "";
    } else if (key === "back") {
        input.setRangeText("", start === end ? Math.max(0, start - 1) : start, end, "end");
    } else if (key !== "." || !/[.,]/.test(before.slice(0, start) + before.slice(end))) {
        input.setRangeText(key, start, end, "end");
    }
    if (input.value !== before) {
        input.dispatchEvent(new Event("input", { bubbles: true }));
    }
}

/** The caret, at the end where the field was not touched yet. */
function caret(input: HTMLInputElement): [number, number] {
    const end = input.value.length;
    return document.activeElement === input ? [input.selectionStart ?? end, input.selectionEnd ?? end] : [end, end];
}

function keyOf(event: Event): string | null {
    const target = event.target instanceof Element ? event.target.closest<HTMLElement>("[data-key]") : null;
    return target?.dataset["key"] ?? null;
}
