/**
 * Stands between the browser and a server that is out of reach: whoever opens or reloads a page then gets one that says
 * so and shows what waits on this device.
 *
 * Nothing that speaks of a bore is ever kept or served from here: an advice that is old looks like one that holds. What
 * is kept is that one page, and the script, style and sign it needs.
 */

interface Lasting extends Event {
    waitUntil(done: Promise<unknown>): void;
}

interface Asked extends Event {
    readonly request: Request;
    respondWith(answer: Promise<Response>): void;
}

interface Installing extends Lasting {
    addRoutes?(routes: readonly unknown[]): Promise<void>;
}

interface Between {
    addEventListener(type: "install", act: (event: Installing) => void): void;
    addEventListener(type: "activate", act: (event: Lasting) => void): void;
    addEventListener(type: "fetch", act: (event: Asked) => void): void;
    skipWaiting(): Promise<void>;
    readonly clients: { claim(): Promise<void> };
}

const KEPT = "borewright.away";
const PAGE = "/away";
const ASSET = /\/static\/[^"'\s]+/g;
/** What the browser fetches without asking here at all. */
const PAST = ["/api/*", "/part/*"];

const between = globalThis as unknown as Between;

between.addEventListener("install", (event) => {
    const past = PAST.map((pathname) => ({ condition: { urlPattern: { pathname } }, source: "network" }));
    void event.addRoutes?.(past).catch(() => {});
    event.waitUntil(keep().then(() => between.skipWaiting()));
});

between.addEventListener("activate", (event) => event.waitUntil(between.clients.claim()));

between.addEventListener("fetch", (event) => {
    const { request } = event;
    if (request.mode === "navigate") {
        event.respondWith(fetch(request).catch(() => pageKept()));
    } else if (new URL(request.url).pathname.startsWith("/static/")) {
        event.respondWith(fetch(request).catch(async () => (await caches.match(request)) ?? Response.error()));
    }
});

/** Keep the page and what it needs, the page last: one that is kept is kept whole. */
async function keep(): Promise<void> {
    const page = await fetch(PAGE, { cache: "no-store" });
    const assets = [...new Set((await page.clone().text()).match(ASSET) ?? [])];
    const cache = await caches.open(KEPT);
    await cache.addAll(assets);
    await cache.put(PAGE, page);
    const wanted = new Set([PAGE, ...assets].map((path) => new URL(path, location.href).href));
    const old = (await cache.keys()).filter((request) => !wanted.has(request.url));
    await Promise.all(old.map((request) => cache.delete(request)));
}

/** The page as it was kept, under the status of a server that cannot answer now. */
async function pageKept(): Promise<Response> {
    const page = await caches.match(PAGE);
    if (page === undefined) {
        return Response.error();
    }
    const headers = new Headers(page.headers);
    headers.delete("Content-Encoding");
    headers.delete("Content-Length");
    return new Response(await page.blob(), { status: 503, headers });
}
