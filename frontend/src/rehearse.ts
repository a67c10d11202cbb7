/** Rehearsals: begins one, and fills in what the simulated machine shows for a person to confirm. */

import { isPlain, type Plain, plain, post, word } from "./api.ts";
import { tell } from "./callout.ts";
import { setting } from "./device.ts";
import type { EntryForm } from "./entry.ts";
import type { Hearing, Workplace } from "./main.ts";
import { withUnit } from "./typed.ts";

const DRAFT = "rehearse";

export function startRehearse(at: Workplace): Hearing {
    const form = document.querySelector<HTMLFormElement>("form[data-rehearse]");
    form?.addEventListener("input", () => at.drafts.renew(DRAFT));
    form?.addEventListener("submit", (event) => {
        event.preventDefault();
        void begin(at, form);
    });
    return {};
}

async function begin(at: Workplace, form: HTMLFormElement): Promise<void> {
    const fields = new FormData(form);
    const seed = String(fields.get("seed") ?? "").trim();
    const by = setting("person").trim();
    const answer = await post("/api/v1/rehearsals", {
        key: at.drafts.of(DRAFT).key,
        kind: fields.get("kind"),
        seed: /^\d+$/.test(seed) ? Number(seed) : seed,
        ...(by === "" ? {} : { by }),
    });
    const line = form.querySelector<HTMLElement>("[data-problem]");
    if (answer.kind === "done") {
        at.drafts.renew(DRAFT);
        location.assign(`/rehearse/${encodeURIComponent(word(answer.body["bore"]))}`);
    } else {
        const why = { problem: "", wrong: "", right: "", where: "", given: null, since: [] };
        tell(line, answer.kind === "refused" ? answer.problem : { ...why, wrong: answer.why });
    }
}

/** Do something on the simulated machine, and put what it shows where a person confirms it. */
export async function doOnMachine(
    bore: string,
    act: Plain,
): Promise<{ entry: Plain; said: string } | { problem: string }> {
    const answer = await post(`/api/v1/rehearsals/${encodeURIComponent(bore)}/machine`, { action: act });
    if (answer.kind === "away") {
        return { problem: answer.why };
    }
    if (answer.kind === "refused") {
        return { problem: `${answer.problem.wrong} ${answer.problem.right}`.trim() };
    }
    const [entries, said] = [answer.body["entries"], answer.body["said"]];
    const entry: unknown = Array.isArray(entries) ? entries[0] : null;
    return isPlain(entry)
        ? { entry, said: Array.isArray(said) ? String(said[0] ?? "") : "" }
        : { problem: "The machine shows nothing." };
}

/** Fill the form that takes what the machine shows; null where none does, and one tap confirms it. */
export function fillForm(forms: readonly EntryForm[], entry: Plain): EntryForm | null {
    const form = forms.find((one) => one.event === entry["event"] && one.field in entry && fits(one, entry));
    if (form === undefined) {
        return null;
    }
    const { event: _, [form.field]: shown, ...rest } = entry;
    const text = String(shown);
    const bare = form.unit === "" ? text : text.replace(new RegExp(`\\s*${form.unit}$`), "");
    form.filled = { ...form.filled, ...rest };
    form.typed = withUnit(bare, form.unit) === text || bare === text ? bare : text;
    form.input.dispatchEvent(new Event("input", { bubbles: true }));
    return form;
}

/** The tap that confirms what the machine did. */
export function tapFor(root: ParentNode, entry: Plain): HTMLElement | null {
    const taps = [...root.querySelectorAll<HTMLElement>("[data-act]")];
    return taps.find((tap) => sameAct(plain(tap.dataset["act"]) ?? {}, entry)) ?? null;
}

function sameAct(act: Plain, entry: Plain): boolean {
    return Object.entries(act).every(([name, value]) => entry[name] === value);
}

/** A form that has a field filled in already takes only an entry that agrees with it. */
function fits(form: EntryForm, entry: Plain): boolean {
    return Object.entries(form.filled).every(
        ([name, value]) => !(name in entry) || entry[name] === value || form.primary,
    );
}
