/** The page shown while the server is out of reach: what waits on this device, until the page asked for can be had. */

import type { Hearing, Workplace } from "./main.ts";
import type { Waiting } from "./waiting.ts";

const PAGE = "/away";

export function startShell(at: Workplace): Hearing {
    const list = document.querySelector<HTMLElement>("[data-all-waiting]");
    const box = document.querySelector<HTMLElement>("[data-all-waiting-box]");
    at.outbox.subscribe(({ queue }) => {
        list?.replaceChildren(...queue.map(item));
        if (box !== null) {
            box.hidden = queue.length === 0;
        }
    });
    document.querySelector("[data-try]")?.addEventListener("click", goOn);
    return { back: () => void at.outbox.drain().then(goOn) };
}

/** Ask for the page anew that stands in the address; this one, opened by itself, gives way to Today. */
function goOn(): void {
    if (location.pathname === PAGE) {
        location.replace("/");
    } else {
        location.reload();
    }
}

function item(entry: Waiting): HTMLElement {
    const line = document.createElement("li");
    const said = document.createElement("strong");
    said.textContent = entry.said;
    const at = new Date(entry.enteredMs).toLocaleTimeString([], {
        hour: "2-digit",
        minute: "2-digit",
        hourCycle: "h23",
    });
    line.append(said, ` for ${entry.bore}, entered at ${at}`);
    return line;
}
