/** Gauges, rings and studies: each form is one act of the shop, and the page is looked at again after it. */

import { type Answer, part, post, word } from "./api.ts";
import { tell } from "./callout.ts";
import { setting } from "./device.ts";
import type { Hearing, Workplace } from "./main.ts";

export function startGauges(at: Workplace): Hearing {
    document.addEventListener("submit", (event) => {
        const form = event.target;
        if (!(form instanceof HTMLFormElement)) {
            return;
        }
        if (form.dataset["event"] !== undefined) {
            event.preventDefault();
            void enter(at, form);
        } else if (form.matches("[data-rule]")) {
            event.preventDefault();
            void decide(form);
        } else if (form.matches("[data-study]")) {
            event.preventDefault();
            void study(at, form);
        }
    });
    return {};
}

/** Each form keeps the key of its entry until the server has answered it. */
const keys = new WeakMap<HTMLFormElement, string>();

async function enter(at: Workplace, form: HTMLFormElement): Promise<void> {
    const { gauge: named, ...fields } = filled(form);
    const gauge = form.dataset["gauge"] ?? named ?? "";
    const key = keys.get(form) ?? at.newKey();
    keys.set(form, key);
    const person = setting("person");
    const number = form.dataset["number"];
    const answer = await busy(form, () =>
        post(`/api/v1/gauges/${encodeURIComponent(gauge)}/entries`, {
            key,
            entry: { event: form.dataset["event"], ...fields },
            ...(number === undefined ? {} : { number: Number(number) }),
            ...(person === "" ? {} : { by: person }),
        }),
    );
    if (answer === null) {
        return;
    }
    keys.delete(form);
    await look(word(answer["said"]));
}

/** Send of a rule what belongs to it: proof has a confidence, simple acceptance a ratio, a guarded one its band. */
async function decide(form: HTMLFormElement): Promise<void> {
    const { name, confidence, ratio, bands, probe } = filled(form);
    const number = name === "simple" ? { ratio } : name === "guarded" ? { bands } : { confidence };
    const own = { ...number, ...(probe === undefined ? {} : { probe }) };
    const person = setting("person");
    const by = person === "" ? {} : { by: person };
    if ((await busy(form, () => post("/api/v1/rule", { name, ...own, ...by }))) !== null) {
        await look("");
    }
}

async function study(at: Workplace, form: HTMLFormElement): Promise<void> {
    const key = keys.get(form) ?? at.newKey();
    keys.set(form, key);
    const person = setting("person");
    const by = person === "" ? {} : { by: person };
    const answer = await busy(form, () => post("/api/v1/studies", { ...filled(form), key, ...by }));
    const found = document.querySelector("[data-found]");
    if (answer === null) {
        return;
    }
    keys.delete(form);
    if (found !== null) {
        found.innerHTML = word(answer["html"]);
    }
    if (answer["recorded"] === true) {
        await look("");
    }
}

/** Show the page as it stands now, and what was said of the last act. */
async function look(said: string): Promise<void> {
    const html = await part("/part/gauges");
    const place = document.getElementById("gauges-part");
    if (html === null || place === null) {
        location.reload();
        return;
    }
    place.innerHTML = html;
    const line = place.querySelector("[data-said]");
    if (line !== null) {
        line.innerHTML = said;
    }
}

export async function busy(
    form: HTMLFormElement,
    act: () => Promise<Answer>,
): Promise<Readonly<Record<string, unknown>> | null> {
    if (form.hasAttribute("aria-busy")) {
        return null;
    }
    form.setAttribute("aria-busy", "true");
    const answer = await act();
    form.removeAttribute("aria-busy");
    const line = form.querySelector<HTMLElement>("[data-problem]");
    if (answer.kind === "done") {
        if (line !== null) {
            line.hidden = true;
        }
        return answer.body;
    }
    const away = {
        problem: "",
        wrong: "",
        right: "Nothing was recorded: try again.",
        where: "",
        given: null,
        since: [],
    };
    tell(line, answer.kind === "refused" ? answer.problem : { ...away, wrong: answer.why });
    return null;
}

/** What was filled in; a field left empty is left out. */
export function filled(form: HTMLFormElement): Record<string, string> {
    const given = [...new FormData(form)].map(([name, value]): [string, string] => [name, String(value).trim()]);
    return Object.fromEntries(given.filter(([, value]) => value !== ""));
}
