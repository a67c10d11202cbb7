/** Proves an adjuster, one number at a time. What was typed stays on the device until the proof is kept. */

import { type Answer, isPlain, type Numbers, numbersOf, type Plain, plain, post } from "./api.ts";
import { Asking } from "./asking.ts";
import { setting } from "./device.ts";
import { Drafts } from "./draft.ts";
import { EntryForm } from "./entry.ts";
import type { Hearing, Workplace } from "./main.ts";
import { swap } from "./swap.ts";
import { understand } from "./typed.ts";

/** How far a proof has come on this device. */
interface Progress {
    readonly step: string;
    readonly shown: readonly Plain[];
    /** What is half typed. */
    readonly typing: string;
}

const NOTHING: Progress = { step: "", shown: [], typing: "" };

export class ProvePage implements Hearing {
    readonly #main: HTMLElement;
    readonly #at: Workplace;
    readonly #drafts: Drafts;
    readonly #bore: string;
    readonly #name: string;
    #numbers: Numbers;

    constructor(at: Workplace) {
        const main = document.getElementById("prove");
        if (main === null) {
            throw new Error("a page that proves, without its main part");
        }
        this.#main = main;
        this.#at = at;
        this.#drafts = new Drafts(localStorage, at.newKey);
        const of = main.closest<HTMLElement>("[data-bore]")?.dataset ?? {};
        this.#bore = of["bore"] ?? "";
        this.#name = `${this.#bore} prove`;
        this.#numbers = numbersOf(plain(of["numbers"])) ?? {};
        main.addEventListener("input", () => this.#typed());
        main.addEventListener("submit", (event) => {
            event.preventDefault();
            void this.#submitted();
        });
        main.addEventListener("click", (event) => this.#clicked(event));
        const asking = new Asking(
            at.outbox,
            this.#bore,
            async () => {},
            () => this.#numbers,
        );
        at.outbox.subscribe(() => asking.look());
        if (this.#progress.step === "") {
            this.#fill();
        } else {
            void this.#look(this.#progress);
        }
    }

    changed(bore: string, numbers: Numbers | null): void {
        if (bore === this.#bore && numbers !== null) {
            this.#numbers = numbers;
        }
    }

    get #form(): EntryForm | null {
        const form = this.#main.querySelector<HTMLFormElement>("form[data-entry]");
        return form === null ? null : new EntryForm(form);
    }

    get #progress(): Progress {
        const kept = plain(this.#drafts.of(this.#name).text) ?? {};
        const shown = Array.isArray(kept["shown"]) ? kept["shown"].filter(isPlain) : [];
        return { step: String(kept["step"] ?? ""), shown, typing: String(kept["typing"] ?? "") };
    }

    set #progress(progress: Progress) {
        this.#drafts.type(this.#name, JSON.stringify(progress));
    }

    #typed(): void {
        const form = this.#form;
        form?.showSign();
        form?.say("");
        this.#progress = { ...this.#progress, typing: form?.typed ?? "" };
    }

    async #submitted(): Promise<void> {
        const form = this.#form;
        if (form === null || form.busy) {
            return;
        }
        const understood = understand(form.value, form.unit, form.signed);
        if (understood.kind === "wrong") {
            form.say(`${understood.wrong} ${understood.right}`, true);
            form.input.focus();
            return;
        }
        const now = this.#progress;
        const next =
            form.field === "step"
                ? { ...now, step: form.value, typing: "" }
                : { ...now, shown: [...now.shown, { ...form.filled, shown: form.value }], typing: "" };
        form.busy = true;
        await this.#look(next);
        form.busy = false;
    }

    /** Have the server say where a proof stands; it is kept here only as far as the server lets it stand. */
    async #look(progress: Progress): Promise<void> {
        const { step, shown } = progress;
        const show = document.body.dataset["show"];
        const answer = await post(`/api/v1/bores/${encodeURIComponent(this.#bore)}/proof`, { step, shown, show });
        if (answer.kind !== "done") {
            this.#refused(answer);
            return;
        }
        this.#progress = progress;
        swap(this.#main, String(answer.body["html"] ?? ""));
        this.#fill();
    }

    #refused(answer: Exclude<Answer, { kind: "done" }>): void {
        const away = answer.kind === "away";
        const words = away
            ? `${answer.why} What you typed is kept here; press Enter again.`
            : `${answer.problem.wrong} ${answer.problem.right}`;
        this.#form?.say(words, true);
        this.#form?.input.focus();
        if (!away && this.#form?.field === "step" && this.#progress.step !== "") {
            this.#progress = NOTHING;
        }
    }

    /** Put back what was half typed, with the hand in the field. */
    #fill(): void {
        const form = this.#form;
        if (form !== null) {
            form.input.inputMode = "none";
            form.typed = this.#progress.typing;
            form.input.focus({ preventScroll: true });
        }
    }

    #clicked(event: Event): void {
        const button = event.target instanceof Element ? event.target.closest<HTMLElement>("button") : null;
        const data = button?.dataset ?? {};
        const form = this.#form;
        if ("backOne" in data) {
            void this.#look({ ...this.#progress, shown: this.#progress.shown.slice(0, -1), typing: "" });
        } else if ("beginAgain" in data && button !== null) {
            this.#beginAgain(button);
        } else if (data["keepProof"] !== undefined && button !== null) {
            void this.#keep(button, plain(data["keepProof"]) ?? {});
        } else if (data["key"] === "unit") {
            form?.switchUnit();
        }
    }

    /** The first tap asks, the second clears. */
    #beginAgain(button: HTMLElement): void {
        if (!("armed" in button.dataset)) {
            button.dataset["armed"] = "";
            button.textContent = "Clear all readings? Tap again.";
            return;
        }
        this.#drafts.renew(this.#name);
        location.reload();
    }

    async #keep(button: HTMLElement, entry: Plain): Promise<void> {
        const by = setting("person").trim();
        const body = by === "" ? { entry } : { entry, by };
        const key = this.#drafts.of(this.#name).key;
        button.setAttribute("aria-busy", "true");
        const said = "The adjuster is proved";
        const outcome = await this.#at.outbox.enter({
            key,
            bore: this.#bore,
            path: "entries",
            body,
            said,
            saw: this.#numbers,
        });
        button.removeAttribute("aria-busy");
        if (outcome.kind === "refused") {
            this.#tell(`${outcome.problem.wrong} ${outcome.problem.right}`);
            return;
        }
        this.#drafts.renew(this.#name);
        if (outcome.kind === "stored") {
            location.assign(`/bores/${encodeURIComponent(this.#bore)}`);
        } else {
            this.#tell("It waits on this device and is sent as soon as the server answers.");
        }
    }

    #tell(words: string): void {
        const line = this.#main.querySelector<HTMLElement>("[data-told]");
        if (line !== null) {
            line.textContent = words;
            line.hidden = words === "";
        }
    }
}
