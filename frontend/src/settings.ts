/** The dialog of this device's settings, and the quick switch of the unit. */

import { dress, isSetting, keep, setting, USUAL } from "./device.ts";

export function startSettings(): void {
    const dialog = document.querySelector<HTMLDialogElement>("dialog[data-settings]");
    if (dialog !== null) {
        fill(dialog);
        dialog.addEventListener("change", (event) => chosen(event.target));
        dialog.addEventListener("close", () => showIn(setting("show")));
        on("[data-open-settings]", () => dialog.showModal());
    }
    on("[data-switch-unit]", () => {
        const other = document.body.dataset["show"] === "mm" ? "in" : "mm";
        keep("show", other);
        showIn(other);
    });
    nameYourself();
}

/** Write the name of who stands here into every field that asks for one and is still empty. */
export function nameYourself(): void {
    for (const field of document.querySelectorAll<HTMLInputElement>("[data-person]")) {
        field.value ||= setting("person");
    }
}

function fill(dialog: HTMLElement): void {
    for (const control of dialog.querySelectorAll<HTMLInputElement>("[data-setting]")) {
        const name = control.dataset["setting"];
        if (isSetting(name) && control.type === "radio") {
            control.checked = control.value === setting(name);
        } else if (isSetting(name)) {
            control.value = setting(name);
        }
    }
}

function chosen(target: EventTarget | null): void {
    const name = target instanceof HTMLInputElement ? target.dataset["setting"] : undefined;
    if (target instanceof HTMLInputElement && isSetting(name)) {
        keep(name, target.value.trim());
        dress(document.documentElement);
        nameYourself();
    }
}

/** Ask for the page anew in another unit; what was typed is kept over it. */
function showIn(unit: string): void {
    const here = new URL(location.href);
    const asked = here.searchParams.get("show") ?? USUAL.show;
    if (unit === asked || (unit !== "" && unit === document.body.dataset["show"])) {
        return;
    }
    if (unit === "") {
        here.searchParams.delete("show");
    } else {
        here.searchParams.set("show", unit);
    }
    location.replace(here);
}

function on(selector: string, act: () => void): void {
    for (const element of document.querySelectorAll(selector)) {
        element.addEventListener("click", act);
    }
}
