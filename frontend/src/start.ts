/** Starts a bore from four numbers; what was typed is kept until the bore is open, over a reload and an absent server. */

import { type Problem, post, word } from "./api.ts";
import { Preview, tell } from "./callout.ts";
import { setting } from "./device.ts";
import { fieldAt, given } from "./given.ts";
import type { Hearing, Workplace } from "./main.ts";

const DRAFT = "start";

export function startStart(at: Workplace): Hearing {
    const form = document.querySelector<HTMLFormElement>("form[data-start]");
    if (form !== null) {
        new StartPage(at, form).start();
    }
    return {};
}

class StartPage {
    readonly #at: Workplace;
    readonly #form: HTMLFormElement;
    readonly #preview: Preview | null;
    /** What the server has refused and nobody has changed since, in the form's own words. */
    #refused = "";

    constructor(at: Workplace, form: HTMLFormElement) {
        const picture = form.querySelector<HTMLElement>("[data-callout-picture]");
        this.#at = at;
        this.#form = form;
        this.#preview = picture === null ? null : new Preview(picture, () => {});
    }

    start(): void {
        this.#restore();
        this.#follow();
        this.#form.addEventListener("input", () => {
            this.#refused = "";
            this.#at.drafts.type(DRAFT, JSON.stringify(this.#all()));
            this.#follow();
        });
        this.#form.addEventListener("submit", (event) => {
            event.preventDefault();
            const [first] = this.#missing();
            if (first === undefined) {
                void this.#open();
            } else {
                this.#point(first);
            }
        });
    }

    /** Show what the answers so far ask for, with the unit that they are in. */
    #follow(): void {
        const fields = new Map(this.#all());
        for (const block of this.#form.querySelectorAll<HTMLElement>("[data-only]")) {
            const [name = "", values = ""] = (block.dataset["only"] ?? "").split("=");
            const wanted = values.split("|").includes(fields.get(name) ?? "");
            block.hidden = !wanted;
            for (const input of block.querySelectorAll<HTMLInputElement>("input")) {
                input.disabled = !wanted;
            }
        }
        const unit = fields.get("unit") ?? "";
        for (const line of this.#form.querySelectorAll<HTMLElement>("[data-start-unit]")) {
            line.textContent = unit;
        }
        for (const line of this.#form.querySelectorAll<HTMLElement>("[data-mm]")) {
            line.textContent = line.dataset[unit === "in" ? "in" : "mm"] ?? "";
        }
        this.#sayMissing();
        this.#preview?.draw(fields.get("callout") ?? "", unit, gaugeOf(fields));
    }

    /** What is asked for and not said yet, in the order of the form: fields, and groups of which one is to be chosen. */
    #missing(): HTMLElement[] {
        const said = new Map(this.#all());
        const wanted = [...this.#form.querySelectorAll<HTMLElement>("[data-missing]")].filter(
            (one) => (said.get(one.dataset["unless"] ?? "") ?? "").trim() === "",
        );
        return wanted.filter((one) =>
            one instanceof HTMLInputElement
                ? !one.disabled && one.value.trim() === ""
                : !one.hidden && one.querySelector("input:checked") === null,
        );
    }

    #sayMissing(): void {
        const refused = this.#refused;
        if (refused !== "") {
            this.#say(`Change 1 thing: ${refused}.`);
            return;
        }
        const names = this.#missing().map((one) => one.dataset["missing"] ?? "");
        const said = names.length === 0 ? "Nothing is missing." : `Still to say: ${names.join(", ")}.`;
        this.#say(said);
    }

    #say(words: string): void {
        const line = this.#form.querySelector<HTMLElement>("[data-still]");
        if (line !== null) {
            line.textContent = words;
        }
    }

    /** Show the first thing that is missing, and put the hand there. */
    #point(at: HTMLElement): void {
        const wrong = `This is still to say: ${at.dataset["missing"] ?? ""}.`;
        const name = at instanceof HTMLInputElement ? at.name : (at.querySelector("input")?.name ?? "");
        this.#tell({ problem: "", wrong, right: "", where: name, given: null, since: [] });
    }

    async #open(): Promise<void> {
        this.#tell(null);
        const by = setting("person").trim();
        const asked = { given: given(this.#sent()), ...(by === "" ? {} : { by }) };
        this.#form.setAttribute("aria-busy", "true");
        const answer = await post("/api/v1/bores", { key: this.#at.drafts.of(DRAFT).key, ...asked });
        this.#form.removeAttribute("aria-busy");
        if (answer.kind === "done") {
            this.#at.drafts.renew(DRAFT);
            location.assign(`/bores/${encodeURIComponent(word(answer.body["bore"]))}`);
        } else if (answer.kind === "refused" && answer.problem.where === "key") {
            this.#renewKey();
            await this.#open();
        } else if (answer.kind === "refused") {
            this.#tell(answer.problem);
            this.#refused = this.#nameOf(answer.problem.where);
            this.#sayMissing();
        } else {
            const right = "What you typed is kept here. Try again.";
            this.#tell({ problem: "", wrong: answer.why, right, where: "", given: null, since: [] });
        }
    }

    /** What the form calls the field of a problem. */
    #nameOf(where: string): string {
        const fields = [...this.#form.querySelectorAll<HTMLInputElement>("input[name]:enabled")];
        const name = fieldAt(where, [...new Set(fields.map((field) => field.name))]);
        const field = fields.find((one) => one.name === name);
        const missing = field?.dataset["missing"] ?? field?.closest<HTMLElement>("[data-missing]")?.dataset["missing"];
        return missing ?? field?.labels?.[0]?.textContent?.trim() ?? "what was entered";
    }

    /** The bore of this key was opened with other numbers, its answer lost: these are another bore's. */
    #renewKey(): void {
        const text = this.#at.drafts.of(DRAFT).text;
        this.#at.drafts.renew(DRAFT);
        this.#at.drafts.type(DRAFT, text);
    }

    #tell(problem: Problem | null): void {
        const lines = [...this.#form.querySelectorAll<HTMLElement>("[data-problem]")];
        const asked = lines.filter((line) => line.closest("[data-only][hidden]") === null);
        const names = asked.flatMap((line) => line.dataset["for"] ?? []);
        const name = problem === null ? null : fieldAt(problem.where, names);
        const line = asked.find((one) => (name === null ? !("for" in one.dataset) : one.dataset["for"] === name));
        for (const other of lines) {
            tell(other, null);
        }
        for (const input of this.#form.querySelectorAll("[aria-invalid]")) {
            input.removeAttribute("aria-invalid");
        }
        if (problem !== null) {
            tell(line ?? null, problem);
            const which = `input[name="${CSS.escape(name ?? "")}"]:enabled`;
            const input = name === null ? null : this.#form.querySelector<HTMLElement>(which);
            input?.setAttribute("aria-invalid", "true");
            input?.closest("details")?.setAttribute("open", "");
            input?.focus();
        }
    }

    /** Every field, those too that are not asked for now. */
    #all(): [string, string][] {
        const inputs = [...this.#form.querySelectorAll<HTMLInputElement>("input[name]")];
        return inputs
            .filter((input) => input.type !== "radio" || input.checked)
            .map((input) => [input.name, input.value]);
    }

    #sent(): [string, string][] {
        return [...new FormData(this.#form)].map(([name, value]) => [name, String(value)]);
    }

    #restore(): void {
        const text = this.#at.drafts.of(DRAFT).text;
        const fields = new Map<string, string>(text === "" ? [] : (JSON.parse(text) as [string, string][]));
        for (const input of this.#form.querySelectorAll<HTMLInputElement>("input[name]")) {
            const value = fields.get(input.name);
            if (value !== undefined && input.type === "radio") {
                input.checked = input.value === value;
            } else if (value !== undefined) {
                input.value = value;
            }
        }
    }
}

/** What is said of the gauge and of the rule so far: the limits then say whether it could show a bore to be in. */
function gaugeOf(fields: ReadonlyMap<string, string>): Record<string, string> {
    const shows = fields.get("gauge.shows") ?? "";
    const said = {
        step: shows.startsWith("other") ? fields.get("gauge.step") : shows,
        scatter: fields.get("gauge.scatter"),
        bias: fields.get("gauge.bias"),
        rule: fields.get("rule.name"),
    };
    const whole = /^(\d*[.,]?\d+ *(mm|in|µm)?|[a-z]+)$/; // what is half typed is not asked about yet
    return Object.fromEntries(Object.entries(said).filter((one): one is [string, string] => whole.test(one[1] ?? "")));
}
