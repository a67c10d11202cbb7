/** A callout drawn as it is typed. */

import { get, type Problem, word } from "./api.ts";
import type { Hearing } from "./main.ts";

const PAUSE_MS = 200;

export function startCallout(): Hearing {
    const form = document.querySelector<HTMLFormElement>("form[data-callout]");
    const picture = document.querySelector<HTMLElement>("[data-callout-picture]");
    const problem = document.querySelector<HTMLElement>("[data-problem]");
    if (form !== null && picture !== null) {
        const preview = new Preview(picture, (found) => tell(problem, found));
        const draw = () => preview.draw(field(form, "text"), field(form, "unit"));
        form.addEventListener("input", draw);
        form.addEventListener("submit", (event) => {
            event.preventDefault();
            preview.now(field(form, "text"), field(form, "unit"), true);
        });
    }
    return {};
}

/**
 * Draws the limits of a callout once the hand rests; what cannot be understood yet is not scolded.
 *
 * Limits stand there only for what is typed: with the next key they are marked as the answer to what was typed before,
 * and where there are none for it, they go.
 */
export class Preview {
    readonly #picture: HTMLElement;
    readonly #tell: (problem: Problem | null) => void;
    #timer: number | undefined;
    #asked = "";

    constructor(picture: HTMLElement, tell: (problem: Problem | null) => void) {
        this.#picture = picture;
        this.#tell = tell;
    }

    draw(text: string, unit: string, gauge: Readonly<Record<string, string>> = {}): void {
        window.clearTimeout(this.#timer);
        this.#picture.toggleAttribute("data-old", true);
        this.#timer = window.setTimeout(() => this.now(text, unit, false, gauge), PAUSE_MS);
    }

    now(text: string, unit: string, scold: boolean, gauge: Readonly<Record<string, string>> = {}): void {
        window.clearTimeout(this.#timer);
        const query = new URLSearchParams({ text, unit, ...gauge }).toString();
        this.#asked = query;
        if (text.trim() === "") {
            this.#tell(null);
            this.#show(null, this.#picture.dataset["none"] ?? "");
            return;
        }
        void get(`/api/v1/callout?${query}`).then((answer) => {
            if (query !== this.#asked) {
                return;
            }
            if (answer.kind === "done") {
                this.#show(word(answer.body["html"]));
                this.#tell(null);
                return;
            }
            const why = { problem: "", wrong: "", right: "", where: "", given: null, since: [] };
            const problem = answer.kind === "refused" ? answer.problem : { ...why, wrong: answer.why };
            this.#show(null, scold ? "There are no limits for it." : `No limits yet: ${problem.wrong}`);
            this.#tell(scold ? problem : null);
        });
    }

    #show(html: string | null, words = ""): void {
        this.#picture.removeAttribute("data-old");
        if (html !== null) {
            this.#picture.innerHTML = html;
            return;
        }
        const line = document.createElement("p");
        line.className = "none";
        line.textContent = words;
        this.#picture.replaceChildren(line);
    }
}

export function tell(line: HTMLElement | null, problem: Problem | null): void {
    if (line !== null) {
        line.textContent = problem === null ? "" : `${problem.wrong} ${problem.right}`.trim();
        line.hidden = problem === null;
    }
}

function field(form: HTMLFormElement, name: string): string {
    const value = new FormData(form).get(name);
    return typeof value === "string" ? value : "";
}
