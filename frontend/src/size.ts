/** The Size page: what is entered goes through the outbox, what comes back takes the place of what was shown. */

import { type Numbers, type Plain, type Problem, plain } from "./api.ts";
import { Asking } from "./asking.ts";
import { setting } from "./device.ts";
import { EntryForm } from "./entry.ts";
import { Forms } from "./forms.ts";
import { GaugeListener } from "./gauge.ts";
import { Held } from "./held.ts";
import type { Hearing, Workplace } from "./main.ts";
import type { Outcome } from "./outbox.ts";
import { doOnMachine, fillForm, tapFor } from "./rehearse.ts";
import { Shown } from "./shown.ts";
import { speak } from "./speak.ts";
import { Understanding } from "./understanding.ts";
import type { Entered, Path } from "./waiting.ts";

/** Two taps on one key within this time are one. */
const DOUBLE_TAP_MS = 1500;

export class SizePage implements Hearing {
    readonly #main: HTMLElement;
    readonly #at: Workplace;
    readonly #bore: string;
    readonly #shown: Shown;
    readonly #forms: Forms;
    readonly #asking: Asking;
    readonly #held: Held;
    readonly #understanding: Understanding;
    readonly #gauge: GaugeListener;
    /** Keys of acts by the button that was tapped; another rendering of the button is another entry. */
    readonly #keys = new WeakMap<Element, string>();
    /** Keys of entries whose answer this page stands and waits for. */
    readonly #mine = new Set<string>();
    #waiting: readonly string[] = [];

    constructor(at: Workplace) {
        const main = document.getElementById("size");
        if (main === null) {
            throw new Error("a Size page without its main part");
        }
        this.#main = main;
        this.#at = at;
        this.#bore = main.dataset["bore"] ?? "";
        this.#understanding = new Understanding(this.#bore);
        this.#held = new Held(main);
        this.#forms = new Forms(main, at.drafts, this.#bore);
        this.#shown = new Shown(
            main,
            this.#bore,
            () => this.#mine.size > 0,
            (typing) => this.#fresh(typing),
        );
        this.#asking = new Asking(
            at.outbox,
            this.#bore,
            () => this.#shown.look(),
            () => this.#shown.numbers,
        );
        this.#gauge = new GaugeListener(
            () => EntryForm.forReading(main),
            (form) => this.#understand(form),
        );
        this.#fresh(null);
        main.addEventListener("submit", (event) => this.#submitted(event));
        main.addEventListener("click", (event) => this.#clicked(event));
        main.addEventListener("input", (event) => this.#typed(event));
        document.addEventListener("click", (event) => this.#disarm(event), { capture: true });
        document.addEventListener("keydown", (event) => event.key === "Escape" && this.#disarm(null));
        main.addEventListener("keydown", (event) => event.repeat && event.key === "Enter" && event.preventDefault());
        document.querySelector("[data-waiting]")?.addEventListener("click", (event) => this.#takenBack(event));
        at.outbox.subscribe(() => this.#queueChanged());
    }

    changed(bore: string, numbers: Numbers | null): void {
        if (bore === this.#bore && numbers !== null) {
            this.#shown.hear(numbers);
        }
    }

    back(): void {
        this.#shown.lookAgain();
    }

    /** What belongs to every rendering: what was half typed, and how it is understood. */
    #fresh(typing: EntryForm | null): void {
        for (const form of this.#forms.restore()) {
            void this.#understand(form);
        }
        if (typing !== null) {
            this.#forms.goOn(typing);
        }
        this.#queueChanged();
    }

    #typed(event: Event): void {
        const form = EntryForm.around(event.target);
        if (form === null) {
            return;
        }
        form.showSign();
        form.ask(false);
        form.say("");
        this.#forms.keep(form);
        this.#understanding.soon(form, (understood) => understood.kind === "understood" && form.say(understood.said));
    }

    #submitted(event: Event): void {
        const form = EntryForm.around(event.target);
        if (form !== null) {
            event.preventDefault();
            void this.#enterTyped(form, form.asks);
        }
    }

    #clicked(event: Event): void {
        const target = event.target instanceof Element ? event.target.closest<HTMLElement>("button") : null;
        if (target === null) {
            return;
        }
        const data = target.dataset;
        const form = EntryForm.around(target);
        if ("act" in data) {
            this.#act(target, plain(data["act"]) ?? {});
        } else if ("undo" in data) {
            this.#undo(target);
        } else if ("ready" in data) {
            this.#act(target, readyNote(this.#main));
        } else if ("speak" in data) {
            speak(data["speak"] || this.#shown.spoken);
        } else if ("machine" in data) {
            void this.#onMachine(plain(data["machine"]) ?? {});
        } else if (form !== null && data["key"] === "unit") {
            form.switchUnit();
            form.input.dispatchEvent(new Event("input", { bubbles: true }));
        } else if (form !== null && "keep" in data) {
            void this.#enterTyped(form, true);
        } else if (form !== null && "mend" in data) {
            form.ask(false);
            form.input.focus();
            form.input.select();
        }
    }

    #act(button: HTMLElement, entry: Plain): void {
        if (!this.#shown.just) {
            void this.#tap(button, "entries", { entry }, (button.firstChild?.textContent ?? "").trim());
        }
    }

    /** Show what a typed value is understood as; say whether nothing speaks against keeping it. */
    async #understand(form: EntryForm): Promise<boolean> {
        if (form.words || form.typed.trim() === "") {
            return true;
        }
        const asked = form.value;
        const understood = await this.#understanding.now(form);
        if (form.value !== asked) {
            return false;
        }
        if (understood.kind === "wrong") {
            form.say(`${understood.wrong} ${understood.right}`.trim(), true);
            return false;
        }
        const doubtful = understood.warnings.length > 0;
        form.say(doubtful ? understood.warnings.join(" ") : understood.said, doubtful);
        form.ask(doubtful);
        return !doubtful;
    }

    async #enterTyped(form: EntryForm, sure: boolean): Promise<void> {
        if (form.busy || (form.typed === "" && this.#shown.just)) {
            return;
        }
        if (form.value === "") {
            form.say("Nothing was entered.", true);
            form.input.focus();
            return;
        }
        form.busy = true;
        try {
            if (sure || (await this.#understand(form))) {
                await this.#enterForm(form);
            }
        } finally {
            form.busy = false;
        }
    }

    async #enterForm(form: EntryForm): Promise<void> {
        const draft = this.#forms.draftOf(form);
        const key = this.#at.drafts.of(draft).key;
        const said = form.said;
        await this.#enter(key, "entries", { entry: form.entry }, said, (outcome) => {
            form.ask(false);
            if (outcome.kind === "refused") {
                form.say(sentence(outcome.problem), true);
                form.input.focus();
                return;
            }
            this.#at.drafts.renew(draft);
            form.typed = "";
            form.say(outcome.kind === "waits" ? "Waits here." : "");
        });
        this.#gauge.settled();
    }

    async #tap(button: HTMLElement, path: Path, body: Plain, said: string): Promise<void> {
        const key = this.#keys.get(button) ?? this.#at.newKey();
        this.#keys.set(button, key);
        button.setAttribute("aria-busy", "true");
        await this.#enter(key, path, body, said, (outcome) => {
            button.removeAttribute("aria-busy");
            if (outcome.kind === "refused") {
                this.#tell(sentence(outcome.problem));
            } else if (outcome.kind === "waits") {
                window.setTimeout(() => this.#keys.delete(button), DOUBLE_TAP_MS);
            }
        });
    }

    /** Enter through the outbox; `settle` is called before what came back takes the place of what was shown. */
    async #enter(
        key: string,
        path: Path,
        body: Plain,
        said: string,
        settle: (outcome: Outcome) => void,
    ): Promise<void> {
        const by = setting("person").trim();
        const entered: Entered = {
            key,
            bore: this.#bore,
            path,
            body: by === "" ? body : { ...body, by },
            said,
            saw: this.#shown.numbers,
        };
        this.#mine.add(key);
        const outcome = await this.#at.outbox.enter(entered);
        this.#mine.delete(key);
        settle(outcome);
        if (outcome.kind === "stored") {
            this.#tell("");
            this.#shown.answer(outcome.body);
        }
        this.#shown.keepUp();
    }

    /** Let the simulated machine do something; a person confirms what it shows. */
    async #onMachine(act: Plain): Promise<void> {
        const done = await doOnMachine(this.#bore, act);
        if ("problem" in done) {
            this.#tell(done.problem);
            return;
        }
        this.#tell("");
        const form = fillForm(this.#forms.all(), done.entry);
        if (form !== null) {
            form.open();
            await this.#understand(form);
            return;
        }
        tapFor(this.#main, done.entry)?.focus();
        this.#tell(`The machine: ${done.said}. Confirm it.`);
    }

    /** The first tap asks, the second withdraws; the event stays in the record, marked. */
    #undo(button: HTMLElement): void {
        if (!("armed" in button.dataset)) {
            button.dataset["armed"] = button.innerHTML;
            const said = (button.lastChild?.textContent ?? "").trim();
            button.textContent = `Take back “${said}”? Tap again.`;
            return;
        }
        const { stream = "", number = "", armed = "" } = button.dataset;
        void this.#tap(button, "withdraw", { stream, number: Number(number) }, textOf(armed));
    }

    /** Take back an entry that still waits: it is sent, then withdrawn, for nobody knows whether it has arrived. */
    #takenBack(event: Event): void {
        const button = event.target instanceof Element ? event.target.closest<HTMLElement>("[data-take-back]") : null;
        const of = button?.dataset["takeBack"];
        if (of !== undefined) {
            void this.#enter(`${of}-back`, "withdraw", { of }, "Taken back", () => {});
        }
    }

    /** Take back the question of an undo; a tap on the button itself is its answer. */
    #disarm(event: Event | null): void {
        for (const button of this.#main.querySelectorAll<HTMLElement>("[data-armed]")) {
            if (!(event?.target instanceof Node && button.contains(event.target))) {
                button.innerHTML = button.dataset["armed"] ?? "";
                delete button.dataset["armed"];
            }
        }
    }

    /** While entries wait, what is advised is older than the hands: say what was done, and let the pass go on. */
    #queueChanged(): void {
        const waiting = this.#at.outbox.seen.queue.filter((entry) => entry.bore === this.#bore);
        this.#held.look(waiting);
        const keys = waiting.map((entry) => entry.key);
        const gone = this.#waiting.filter((key) => !keys.includes(key));
        this.#waiting = keys;
        if (gone.some((key) => !this.#mine.has(key))) {
            void this.#shown.look();
        }
        this.#asking.look();
    }

    /** Say what went wrong with something that has no field of its own. */
    #tell(words: string): void {
        const line = this.#main.querySelector<HTMLElement>("[data-told]") ?? told(this.#main);
        line.textContent = words;
        line.hidden = words === "";
    }
}

function sentence(problem: Problem): string {
    return `${problem.wrong} ${problem.right}`.trim();
}

function textOf(html: string): string {
    const template = document.createElement("template");
    template.innerHTML = html;
    return (template.content.textContent ?? "").trim();
}

function readyNote(main: HTMLElement): Plain {
    const points = [...main.querySelectorAll<HTMLInputElement>("[data-point]")];
    const names = (ticked: boolean) =>
        points.filter((box) => box.checked === ticked).map((box) => box.dataset["point"] ?? "");
    const open = names(false);
    const text = [`Ready to gauge: ${names(true).join("; ") || "nothing said"}`];
    return {
        event: "noted",
        stream: "bore",
        text: [...text, ...(open.length > 0 ? [`not said: ${open.join("; ")}`] : [])].join(". "),
    };
}

function told(main: HTMLElement): HTMLElement {
    const line = document.createElement("p");
    line.className = "problem";
    line.dataset["told"] = "";
    line.setAttribute("role", "status");
    line.hidden = true;
    main.querySelector("[data-card]")?.after(line);
    return line;
}
