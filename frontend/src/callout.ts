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

/** Draws the limits of a callout once the hand rests; what cannot be understood yet is not scolded. */
export class Preview {
    readonly #picture: HTMLElement;
    readonly #tell: (problem: Problem | null) => void;
    #timer: number | undefined;
    #asked = "";

    constructor(picture: HTMLElement, tell: (problem: Problem | null) => void) {
        this.#picture = picture;
        this.#tell = tell;
    }

    draw(text: string, unit: string): void {
        window.clearTimeout(this.#timer);
        this.#timer = window.setTimeout(() => this.now(text, unit, false), PAUSE_MS);
    }

    now(text: string, unit: string, scold: boolean): void {
        window.clearTimeout(this.#timer);
        const query = new URLSearchParams({ text, unit }).toString();
        this.#asked = query;
        if (text.trim() === "") {
            this.#tell(null);
            return;
        }
        void get(`/api/v1/callout?${query}`).then((answer) => {
            if (query !== this.#asked) {
                return;
            }
            if (answer.kind === "done") {
                this.#picture.innerHTML = word(answer.body["html"]);
                this.#tell(null);
            } else if (answer.kind === "refused" && scold) {
                this.#tell(answer.problem);
            } else if (answer.kind === "away" && scold) {
                this.#tell({ problem: "", wrong: answer.why, right: "", where: "", given: null, since: [] });
            }
        });
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
