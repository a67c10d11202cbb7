/** A form that takes one number or one line of words, as the template draws it. */

import { type Plain, plain } from "./api.ts";
import { type Unit, withUnit } from "./typed.ts";

const OTHER_UNIT: Readonly<Record<string, Unit>> = { mm: "in", in: "mm" };

export class EntryForm {
    readonly form: HTMLFormElement;
    readonly input: HTMLInputElement;

    constructor(form: HTMLFormElement) {
        const input = form.querySelector<HTMLInputElement>("input[data-value]");
        if (input === null) {
            throw new Error("an entry form without a field");
        }
        this.form = form;
        this.input = input;
    }

    /** The form that something stands in. */
    static around(target: EventTarget | null): EntryForm | null {
        const form = target instanceof Element ? target.closest<HTMLFormElement>("form[data-entry]") : null;
        return form === null ? null : new EntryForm(form);
    }

    /** The form that a gauge's reading goes to: the one that asks for it, else the one among the others. */
    static forReading(root: ParentNode): EntryForm | null {
        const found = [
            ...root.querySelectorAll<HTMLFormElement>("form[data-primary][data-field='as_read']"),
            ...root.querySelectorAll<HTMLFormElement>("[data-more] form[data-entry][data-event='read']"),
        ].map((form) => new EntryForm(form));
        return found.find((form) => form.asked) ?? null;
    }

    get event(): string {
        return this.form.dataset["event"] ?? "";
    }

    get field(): string {
        return this.form.dataset["field"] ?? "";
    }

    /** Tells the form apart from the bore's other ones. */
    get name(): string {
        return [this.event, this.field, this.form.dataset["with"] ?? ""].join(" ");
    }

    /** Whether it is on the page now, folded or not, and not kept back for while the server is away. */
    get asked(): boolean {
        return this.form.closest("[hidden]") === null;
    }

    get primary(): boolean {
        return "primary" in this.form.dataset;
    }

    /** Which of several forms for the same thing is meant: the least. */
    get rank(): number {
        return this.primary ? 0 : this.form.closest("[data-more]") !== null ? 1 : 2;
    }

    get signed(): boolean {
        return "signed" in this.form.dataset;
    }

    /** Whether words are typed rather than a number. */
    get words(): boolean {
        return this.field === "text" || this.field === "reason";
    }

    get unit(): Unit {
        return (this.form.querySelector<HTMLElement>("[data-unit]")?.dataset["unit"] ?? "") as Unit;
    }

    /** What Enter enters where nothing is typed. */
    get offered(): string {
        return this.form.dataset["default"] ?? "";
    }

    get typed(): string {
        return this.input.value;
    }

    set typed(text: string) {
        this.input.value = text;
    }

    /** The value as it is sent: what was typed with the unit in view, else what is offered. */
    get value(): string {
        const typed = this.typed.trim();
        return typed === "" ? this.offered : withUnit(typed, this.unit);
    }

    /** Fields of the entry that are known already. */
    get filled(): Plain {
        return plain(this.form.dataset["with"]) ?? {};
    }

    set filled(fields: Plain) {
        this.form.dataset["with"] = JSON.stringify(fields);
    }

    /** What was said beside the number: where it was taken, how the part is held. Dotted names become groups. */
    get beside(): Plain {
        const found: Record<string, string | Record<string, string>> = {};
        for (const [path, value] of this.#told) {
            const [group = "", part] = path.split(".");
            const before = found[group];
            found[group] =
                part === undefined ? value : { ...(typeof before === "object" ? before : {}), [part]: value };
        }
        return found;
    }

    get #told(): readonly (readonly [string, string])[] {
        const chosen = this.form.querySelectorAll<HTMLInputElement>("input[data-part]:checked");
        return [...chosen]
            .map((one) => [one.dataset["part"] ?? "", one.value] as const)
            .filter(([, value]) => value !== "");
    }

    get entry(): Plain {
        return { ...this.filled, ...this.beside, event: this.event, [this.field]: this.value };
    }

    /** The entry in words, for whoever waits for the server. */
    get said(): string {
        const label = this.form.querySelector("label")?.textContent?.trim() ?? "";
        const unit = this.unit !== "" && !this.value.endsWith(this.unit) ? ` ${this.unit}` : "";
        const beside = this.#told.map(([path, value]) => (path.endsWith("_deg") ? `${value}°` : value));
        return [`${label} ${this.value}${unit}`.trim(), ...beside].join(", ");
    }

    /** Show a sign with every number that has one, so that open and close are never left to be guessed. */
    showSign(): void {
        if (this.signed && /^[\d.,]/.test(this.typed)) {
            const caret = this.input.selectionStart ?? this.typed.length;
            this.typed = `${/^[-\u2212]/.test(this.offered) ? "-" : "+"}${this.typed}`;
            this.input.setSelectionRange(caret + 1, caret + 1);
        }
    }

    /** Let the number be typed in the other unit; nothing that was typed changes. */
    switchUnit(): void {
        const button = this.form.querySelector<HTMLElement>("[data-key='unit']");
        const other = OTHER_UNIT[this.unit];
        if (button !== null && other !== undefined) {
            button.dataset["unit"] = other;
            button.textContent = other;
            button.setAttribute("aria-label", `Typed in ${other}; change the unit`);
        }
    }

    set busy(busy: boolean) {
        this.form.setAttribute("aria-busy", String(busy));
        this.input.readOnly = busy;
    }

    get busy(): boolean {
        return this.form.getAttribute("aria-busy") === "true";
    }

    /** Say how what stands in the field is understood, or what is wrong with it. */
    say(text: string, doubt = false): void {
        const line = this.form.querySelector<HTMLElement>("[data-understood]");
        if (line !== null && line.textContent !== text) {
            line.textContent = text;
        }
        line?.classList.toggle("doubt", doubt);
        this.input.setAttribute("aria-invalid", String(doubt));
        this.input.setAttribute("aria-errormessage", line?.id ?? "");
    }

    /** Ask whether to keep what surprises. */
    ask(asking: boolean): void {
        const box = this.form.querySelector<HTMLElement>("[data-sure]");
        if (box !== null) {
            box.hidden = !asking;
        }
    }

    get asks(): boolean {
        return this.form.querySelector<HTMLElement>("[data-sure]")?.hidden === false;
    }

    /** Bring the form into view, unfolding what it stands in. */
    open(): void {
        this.form.closest("details")?.setAttribute("open", "");
        this.input.focus({ preventScroll: this.primary });
        if (!this.primary) {
            this.form.scrollIntoView({ block: "center", behavior: "instant" });
        }
    }
}
