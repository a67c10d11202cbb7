/** Says on every page that the server is away, what waits on this device, and which bore's entries are asked about. */

import type { Outbox, Seen } from "./outbox.ts";
import type { Waiting } from "./waiting.ts";

export class Notice {
    readonly #line = document.querySelector<HTMLElement>("[data-offline]");
    readonly #box = document.querySelector<HTMLElement>("[data-waiting-box]");
    readonly #list = document.querySelector<HTMLElement>("[data-waiting]");
    readonly #bore = document.querySelector<HTMLElement>("main[data-bore]")?.dataset["bore"] ?? "";
    readonly #outbox: Outbox;
    #lost = false;

    constructor(outbox: Outbox) {
        this.#outbox = outbox;
        outbox.subscribe((seen) => this.#show(seen));
    }

    /** Whether the line over which the server tells of changes is dead. */
    set lineLost(lost: boolean) {
        this.#lost = lost;
        this.#show(this.#outbox.seen);
    }

    #show(seen: Seen): void {
        const here = seen.queue.filter(
            (entry) => entry.bore === this.#bore && (entry.tries > 0 || entry.follows !== null),
        );
        if (this.#box !== null && this.#list !== null) {
            this.#box.hidden = here.length === 0;
            this.#list.replaceChildren(...here.map((entry) => waitingItem(entry, seen.queue)));
        }
        const away = this.#lost || seen.away !== "";
        document.documentElement.toggleAttribute("data-away", away);
        if (this.#line !== null) {
            const elsewhere = this.#box === null ? seen.queue : seen.queue.filter((entry) => entry.bore !== this.#bore);
            const words = [away ? sentence(seen) : "", elsewhere.length > 0 ? "Entries wait on this device:" : ""];
            this.#line.hidden = words.every((one) => one === "");
            this.#line.replaceChildren(words.filter((one) => one !== "").join(" "), ...links(elsewhere));
        }
    }
}

function sentence(seen: Seen): string {
    const why = seen.away === "" ? "The server does not answer." : seen.away;
    return seen.lasts
        ? `${why} What you enter waits here.`
        : `${why} What you enter waits on this page only: this browser keeps nothing. Leave the page open.`;
}

function waitingItem(entry: Waiting, queue: readonly Waiting[]): HTMLElement {
    const item = document.createElement("li");
    item.textContent = `${entry.said}${entry.stopped === null ? "" : " (you are asked about it)"} `;
    if (entry.path === "entries" && entry.stopped === null && !queue.some((other) => other.body["of"] === entry.key)) {
        const button = document.createElement("button");
        button.type = "button";
        button.dataset["takeBack"] = entry.key;
        button.textContent = "Take back the entry";
        item.append(button);
    }
    return item;
}

function links(queue: readonly Waiting[]): Node[] {
    const bores = [...new Set(queue.map((entry) => entry.bore))];
    return bores.flatMap((bore) => {
        const link = document.createElement("a");
        link.href = `/bores/${encodeURIComponent(bore)}`;
        const count = queue.filter((entry) => entry.bore === bore).length;
        link.textContent = `${bore} (${count})`;
        return [document.createTextNode(" "), link];
    });
}
