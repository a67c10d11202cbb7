/** Signing: a release, a setting aside, a taking up again, each in somebody's name and on the numbers in view. */

import { get, type Numbers, numbersOf, type Plain, plain } from "./api.ts";
import { Asking } from "./asking.ts";
import { tell } from "./callout.ts";
import type { Hearing, Workplace } from "./main.ts";
import type { Path } from "./waiting.ts";

export function startRelease(at: Workplace): Hearing {
    const main = document.querySelector<HTMLElement>("main[data-bore]");
    return main === null ? {} : new ReleasePage(at, main);
}

class ReleasePage implements Hearing {
    readonly #at: Workplace;
    readonly #bore: string;
    #numbers: Numbers;
    #signing = false;

    constructor(at: Workplace, main: HTMLElement) {
        this.#at = at;
        this.#bore = main.dataset["bore"] ?? "";
        this.#numbers = numbersOf(plain(main.dataset["numbers"])) ?? {};
        this.#sign(main, "form[data-release]", "release", "Release", (form) => ({
            shown: plain(form.dataset["shown"]) ?? {},
            by: value(form, "by"),
        }));
        this.#sign(main, "form[data-quarantine]", "quarantine", "Set aside", reasoned);
        this.#sign(main, "form[data-reopen]", "reopen", "Taken up again", reasoned);
        const asking = new Asking(
            at.outbox,
            this.#bore,
            () => this.#look(),
            () => this.#numbers,
        );
        at.outbox.subscribe(() => asking.look());
    }

    /** Nobody signs numbers that are older than the bore. */
    changed(bore: string, numbers: Numbers | null): void {
        const moved =
            numbers !== null && Object.entries(numbers).some(([kind, number]) => number !== this.#numbers[kind]);
        if (bore === this.#bore && moved && !this.#signing) {
            location.reload();
        }
    }

    async #look(): Promise<void> {
        const answer = await get(`/api/v1/bores/${encodeURIComponent(this.#bore)}`);
        if (answer.kind === "done") {
            this.#numbers = numbersOf(answer.body["numbers"]) ?? this.#numbers;
        }
    }

    #sign(main: HTMLElement, which: string, path: Path, said: string, body: (form: HTMLFormElement) => Plain): void {
        const form = main.querySelector<HTMLFormElement>(which);
        if (form === null) {
            return;
        }
        const draft = `${this.#bore} ${path}`;
        restore(form, this.#at.drafts.of(draft).text);
        form.addEventListener("input", () => this.#at.drafts.type(draft, JSON.stringify(typed(form))));
        form.addEventListener("submit", (event) => {
            event.preventDefault();
            void this.#signed(form, draft, path, said, body(form));
        });
    }

    async #signed(form: HTMLFormElement, draft: string, path: Path, said: string, body: Plain): Promise<void> {
        if (this.#signing) {
            return;
        }
        this.#signing = true;
        form.setAttribute("aria-busy", "true");
        const line = form.querySelector<HTMLElement>("[data-problem]");
        const key = this.#at.drafts.of(draft).key;
        const outcome = await this.#at.outbox.enter({ key, bore: this.#bore, path, body, said, saw: this.#numbers });
        form.removeAttribute("aria-busy");
        this.#signing = false;
        if (outcome.kind === "refused") {
            tell(line, outcome.problem);
            return;
        }
        this.#at.drafts.renew(draft);
        if (outcome.kind === "stored") {
            location.reload();
        } else if (outcome.kind === "waits") {
            const right = "It is signed once the server answers and finds the numbers unchanged.";
            tell(line, { problem: "", wrong: outcome.why, right, where: "", given: null, since: [] });
        }
    }
}

function reasoned(form: HTMLFormElement): Plain {
    const by = value(form, "by");
    return { reason: value(form, "reason"), ...(by === "" ? {} : { by }) };
}

function value(form: HTMLFormElement, name: string): string {
    const found = new FormData(form).get(name);
    return typeof found === "string" ? found.trim() : "";
}

function typed(form: HTMLFormElement): Plain {
    return Object.fromEntries([...new FormData(form)].map(([name, text]) => [name, String(text)]));
}

function restore(form: HTMLFormElement, text: string): void {
    for (const [name, kept] of Object.entries(plain(text) ?? {})) {
        const input = form.querySelector<HTMLInputElement>(`input[name="${CSS.escape(name)}"]`);
        if (input !== null) {
            input.value = String(kept);
        }
    }
}
