/** What the Size page shows of its bore, and how it keeps up with the record. */

import { get, type Numbers, numbersOf, type Plain, plain, sameNumbers, word } from "./api.ts";
import { EntryForm } from "./entry.ts";
import { announce, canSpeak, speakIfAsked } from "./speak.ts";
import { swap } from "./swap.ts";
import { Turns } from "./turns.ts";

/** As long as a hand may take for the second tap of a double one; from memory, systems allow half a second. */
const SETTLING_MS = 500;

export class Shown {
    readonly #main: HTMLElement;
    readonly #bore: string;
    readonly #onWay: () => boolean;
    readonly #fresh: (typing: EntryForm | null) => void;
    #numbers: Numbers;
    #html = "";
    /** The numbers heard of since something was last shown. */
    #heard: Numbers | null = null;
    readonly #looks = new Turns(() => this.#look());
    #times = 0;
    #shownMs = Number.NEGATIVE_INFINITY;

    /**
     * `onWay` says whether an answer that will be shown is on its way; `fresh` is called after each rendering, with the
     * form that a hand was typing in.
     */
    constructor(main: HTMLElement, bore: string, onWay: () => boolean, fresh: (typing: EntryForm | null) => void) {
        this.#main = main;
        this.#bore = bore;
        this.#onWay = onWay;
        this.#fresh = fresh;
        this.#numbers = numbersOf(plain(main.dataset["numbers"])) ?? {};
        this.#dress();
    }

    /** The numbers that an act carries which is done in view of the page. */
    get numbers(): Numbers {
        return this.#numbers;
    }

    /** The move as it is read aloud. */
    get spoken(): string {
        return this.#main.querySelector<HTMLElement>("[data-say]")?.dataset["say"] ?? "";
    }

    /**
     * Whether the page has only just changed under the hand: a second tap or Enter that was meant for what stood there
     * before must not answer what stands there now.
     */
    get just(): boolean {
        return performance.now() - this.#shownMs < SETTLING_MS;
    }

    /** Take in word that the bore stands at other numbers. */
    hear(numbers: Numbers): void {
        this.#heard = numbers;
        this.keepUp();
    }

    /** Look where something else was heard of than is shown; not while an answer that will show it is on its way. */
    keepUp(): void {
        if (!this.#onWay() && this.#heard !== null && !sameNumbers(this.#heard, this.#numbers)) {
            void this.look();
        }
    }

    /** Look again after a time away; what was rendered with the page itself is held against what is heard instead. */
    lookAgain(): void {
        if (this.#html !== "") {
            void this.look();
        }
    }

    /** Look at the bore as it stands now; several wishes to look are one. */
    look(): Promise<void> {
        return this.#looks.want();
    }

    async #look(): Promise<void> {
        const times = this.#times;
        const unit = document.body.dataset["show"] ?? "";
        const answer = await get(`/api/v1/bores/${encodeURIComponent(this.#bore)}?show=${unit}`);
        if (answer.kind === "done" && (times === this.#times || !this.#older(answer.body))) {
            this.#show(answer.body);
        }
    }

    /** Show what came with the answer to an act, or look where nothing came with it. */
    answer(body: Plain): void {
        if (numbersOf(body["numbers"]) === null) {
            void this.look();
        } else if (!this.#older(body)) {
            this.#show(body);
        }
    }

    /** Whether an answer lacks an event that is shown already: it was overtaken on the way. */
    #older(body: Plain): boolean {
        return ahead(this.#numbers, numbersOf(body["numbers"]) ?? {});
    }

    #show(body: Plain): void {
        const html = word(body["html"]);
        this.#numbers = numbersOf(body["numbers"]) ?? this.#numbers;
        this.#main.dataset["numbers"] = JSON.stringify(this.#numbers);
        if (this.#heard !== null && !ahead(this.#heard, this.#numbers)) {
            this.#heard = null;
        }
        this.#times += 1;
        if (html === "" || html === this.#html) {
            return;
        }
        const typing = EntryForm.around(document.activeElement);
        const said = this.spoken;
        this.#html = html;
        swap(this.#main, html);
        this.#shownMs = performance.now();
        this.#dress();
        this.#fresh(typing);
        if (this.spoken !== said) {
            announce(this.spoken);
            speakIfAsked(this.spoken);
        }
    }

    #dress(): void {
        for (const button of this.#main.querySelectorAll<HTMLElement>("[data-speak]")) {
            button.hidden = !canSpeak();
        }
        const head = this.#main.querySelector("#move-title .verb, #move-title [data-figure]")?.textContent?.trim();
        if (head !== undefined) {
            document.title = [head, ...document.title.split(" · ").slice(1)].join(" · ");
        }
    }
}

/** Whether one has an event that the other lacks. */
function ahead(one: Numbers, other: Numbers): boolean {
    return Object.entries(one).some(([kind, number]) => number > (other[kind] ?? 0));
}
