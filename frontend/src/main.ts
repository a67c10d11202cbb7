/** Starts what the page needs: the outbox on every page, so that what waits is sent wherever somebody goes on. */

import { type Answer, type Numbers, post } from "./api.ts";
import { startCallout } from "./callout.ts";
import { startCut } from "./cut.ts";
import { setting } from "./device.ts";
import { Drafts } from "./draft.ts";
import { startGauges } from "./gauges.ts";
import { Keypad } from "./keypad.ts";
import { Live } from "./live.ts";
import { Notice } from "./notice.ts";
import { Outbox } from "./outbox.ts";
import { startPasses } from "./passes.ts";
import { ProvePage } from "./prove.ts";
import { startRehearse } from "./rehearse.ts";
import { startRelease } from "./release.ts";
import { startSettings } from "./settings.ts";
import { openShelf } from "./shelf.ts";
import { startShell } from "./shell.ts";
import { SizePage } from "./size.ts";
import { startStart } from "./start.ts";
import { startToday } from "./today.ts";
import { type Waiting, wire } from "./waiting.ts";

const LOCK = "borewright.outbox";
const CHANNEL = "borewright.outbox";

/** What every page works with. */
export interface Workplace {
    readonly outbox: Outbox;
    readonly drafts: Drafts;
    readonly newKey: () => string;
}

async function start(): Promise<void> {
    customElements.define("bw-keypad", Keypad);
    startSettings();
    document.addEventListener("click", keepUnit, { capture: true });
    const at = await workplace();
    const pages: Readonly<Record<string, () => Hearing>> = {
        size: () => new SizePage(at),
        rehearse: () => (document.getElementById("size") === null ? startRehearse(at) : new SizePage(at)),
        today: () => startToday(),
        callout: () => startCallout(),
        cut: () => startCut(),
        start: () => startStart(at),
        release: () => startRelease(at),
        away: () => startShell(at),
        passes: () => startPasses(),
        gauges: () => startGauges(at),
        prove: () => new ProvePage(at),
    };
    const page = pages[document.body.dataset["page"] ?? ""]?.() ?? {};
    const notice = new Notice(at.outbox);
    const bore = document.querySelector<HTMLElement>("main[data-bore]")?.dataset["bore"];
    const live = new Live(`/api/v1/live${bore === undefined ? "" : `?bore=${encodeURIComponent(bore)}`}`, {
        changed: (changed, numbers) => page.changed?.(changed, numbers),
        back: () => {
            notice.lineLost = false;
            void at.outbox.drain();
            page.back?.();
        },
        lost: () => {
            notice.lineLost = true;
        },
    });
    await at.outbox.refresh();
    live.start();
    standBy();
    document.documentElement.dataset["started"] = "";
}

/** Have a page ready for when the server is out of reach, where the browser can; elsewhere it shows its own. */
function standBy(): void {
    if ("serviceWorker" in navigator) {
        void navigator.serviceWorker.register("/away.js").catch(() => {});
    }
}

/** What a page wants to hear of. */
export interface Hearing {
    changed?(bore: string, numbers: Numbers | null): void;
    back?(): void;
}

async function workplace(): Promise<Workplace> {
    const channel = "BroadcastChannel" in window ? new BroadcastChannel(CHANNEL) : null;
    const outbox = new Outbox(await openShelf(), {
        send,
        alone,
        newKey,
        nowMs: () => Date.now(),
        later: (act, afterMs) => {
            const timer = window.setTimeout(act, afterMs);
            return () => window.clearTimeout(timer);
        },
        tell: () => channel?.postMessage("changed"),
    });
    channel?.addEventListener("message", () => void outbox.refresh());
    return { outbox, drafts: new Drafts(sessionStorage, newKey), newKey };
}

/** Names an entry over all its repetitions; random enough that no two are ever the same. */
function newKey(): string {
    const random = crypto.getRandomValues(new Uint8Array(16));
    return [...random].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

function send(entry: Waiting): Promise<Answer> {
    const here = document.querySelector<HTMLElement>("main[data-bore]");
    const show = here?.dataset["bore"] === entry.bore ? { show: document.body.dataset["show"] } : {};
    return post(`/api/v1/bores/${encodeURIComponent(entry.bore)}/${entry.path}`, {
        ...wire(entry, Date.now()),
        ...show,
    });
}

/**
 * Run alone among this device's pages, where the browser has locks; elsewhere two pages may send the same entry, which
 * its key makes harmless.
 */
function alone<T>(act: () => Promise<T>): Promise<T> {
    return "locks" in navigator ? navigator.locks.request(LOCK, act) : act();
}

/** A link inside keeps to the unit that this device shows. */
function keepUnit(event: Event): void {
    const link = event.target instanceof Element ? event.target.closest<HTMLAnchorElement>("a[href^='/']") : null;
    const unit = setting("show");
    if (link !== null && unit !== "") {
        const to = new URL(link.href);
        to.searchParams.set("show", unit);
        link.href = to.href;
    }
}

void start();
