/** Today keeps up with what happens at the machines. */

import { part } from "./api.ts";
import type { Hearing } from "./main.ts";
import { swap } from "./swap.ts";

/** Several bores that change at once are one look. */
const PAUSE_MS = 300;

export function startToday(): Hearing {
    const main = document.querySelector<HTMLElement>("main[data-part]");
    let shown = main?.innerHTML ?? "";
    let timer: number | undefined;
    const look = async () => {
        const html = await part(`${main?.dataset["part"] ?? ""}?show=${showing()}`);
        if (main !== null && html !== null && html !== shown) {
            shown = html;
            swap(main, html);
        }
    };
    const soon = () => {
        window.clearTimeout(timer);
        timer = window.setTimeout(() => void look(), PAUSE_MS);
    };
    return { changed: soon, back: soon };
}

/** The unit asked for; each bore's own where none is. */
function showing(): string {
    return new URL(location.href).searchParams.get("show") ?? "";
}
