/** How a typed value is understood: by the server while it answers, as far as the device can while it does not. */

import { type Answer, type Plain, post, word } from "./api.ts";
import type { EntryForm } from "./entry.ts";
import { understand } from "./typed.ts";

export type Understood =
    | { readonly kind: "understood"; readonly said: string; readonly warnings: readonly string[] }
    | { readonly kind: "wrong"; readonly wrong: string; readonly right: string };

/** A hand has stopped typing when no key came for this long. */
const PAUSE_MS = 250;

export class Understanding {
    readonly #bore: string;
    #timer: number | undefined;
    /** The last value asked about, and what came of it. */
    #asked = "";
    #answer: Promise<Understood> | null = null;

    constructor(bore: string) {
        this.#bore = bore;
    }

    /** Ask once the hand rests; nothing is told where more was typed meanwhile. */
    soon(form: EntryForm, tell: (understood: Understood) => void): void {
        window.clearTimeout(this.#timer);
        if (form.words || form.typed.trim() === "") {
            return;
        }
        this.#timer = window.setTimeout(() => {
            const asked = form.value;
            void this.now(form).then((understood) => form.value === asked && form.form.isConnected && tell(understood));
        }, PAUSE_MS);
    }

    /** Ask now; a value that was just asked about is not asked about again. */
    now(form: EntryForm): Promise<Understood> {
        window.clearTimeout(this.#timer);
        const body = {
            field: form.field,
            event: form.event,
            text: form.value,
            filled: { ...form.filled, ...form.beside },
        };
        const asked = JSON.stringify(body);
        if (asked !== this.#asked || this.#answer === null) {
            this.#asked = asked;
            this.#answer = this.#ask(form, body);
            void this.#answer.finally(() => window.setTimeout(() => this.#forget(asked), 5000));
        }
        return this.#answer;
    }

    #forget(asked: string): void {
        if (asked === this.#asked) {
            this.#answer = null;
        }
    }

    async #ask(form: EntryForm, body: Plain): Promise<Understood> {
        const { unit, signed, value } = form;
        const show = document.body.dataset["show"];
        const answer = await post(`/api/v1/bores/${encodeURIComponent(this.#bore)}/understand`, { ...body, show });
        return answer.kind === "away" ? alone(value, unit, signed) : fromServer(answer);
    }
}

function alone(value: string, unit: Parameters<typeof understand>[1], signed: boolean): Understood {
    const found = understand(value, unit, signed);
    return found.kind === "wrong" ? found : { kind: "understood", said: found.said, warnings: [] };
}

function fromServer(answer: Exclude<Answer, { kind: "away" }>): Understood {
    if (answer.kind === "refused") {
        return { kind: "wrong", wrong: answer.problem.wrong, right: answer.problem.right };
    }
    const warnings = answer.body["warnings"];
    return {
        kind: "understood",
        said: word(answer.body["said"]),
        warnings: Array.isArray(warnings) ? warnings.map(String) : [],
    };
}
