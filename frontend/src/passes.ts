/** The Passes page: plans are made anew as soon as anything is recorded of the bore. */

import { type Numbers, numbersOf, plain } from "./api.ts";
import type { Hearing } from "./main.ts";

export function startPasses(): Hearing {
    const main = document.querySelector<HTMLElement>("main[data-bore]");
    const shown = numbersOf(plain(main?.dataset["numbers"])) ?? {};
    return {
        changed: (bore: string, numbers: Numbers | null) => {
            const moved = numbers !== null && Object.entries(numbers).some(([kind, number]) => number !== shown[kind]);
            if (bore === main?.dataset["bore"] && moved) {
                location.reload();
            }
        },
    };
}
