/** The Cut page: the shop's own cutting forces are kept and forgotten here; the rest of the page asks by its address. */

import { post } from "./api.ts";
import { setting } from "./device.ts";
import { busy, filled } from "./gauges.ts";
import type { Hearing } from "./main.ts";

export function startCut(): Hearing {
    const person = document.querySelector<HTMLInputElement>("[data-own-force] [name=by]");
    if (person !== null && person.value === "") {
        person.value = setting("person");
    }
    document.addEventListener("submit", (event) => {
        const form = event.target;
        if (form instanceof HTMLFormElement && form.matches("[data-own-force]")) {
            event.preventDefault();
            void keep(form);
        } else if (form instanceof HTMLFormElement && form.matches("[data-forget]")) {
            event.preventDefault();
            void forget(form);
        }
    });
    return {};
}

async function keep(form: HTMLFormElement): Promise<void> {
    const { material, by, ...given } = filled(form);
    await again(form, "/api/v1/materials", { material, by, given });
}

async function forget(form: HTMLFormElement): Promise<void> {
    await again(form, "/api/v1/materials/forget", filled(form));
}

/** Do it, and look at the cut again with what holds now. */
async function again(form: HTMLFormElement, address: string, body: Readonly<Record<string, unknown>>): Promise<void> {
    if ((await busy(form, () => post(address, body))) !== null) {
        location.reload();
    }
}
