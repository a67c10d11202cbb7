/** Asks the server, and tells apart what it did, what it refused, and that it cannot be reached. */

/** Number of the last event seen, by kind of stream, such as `{bore: 7, tool: 4, gauge: 1}`. */
export type Numbers = Readonly<Record<string, number>>;

export type Plain = Readonly<Record<string, unknown>>;

/** What the server says when it refuses: the one family of errors, on the wire. */
export interface Problem {
    readonly problem: string;
    readonly wrong: string;
    readonly right: string;
    readonly where: string;
    readonly given: unknown;
    readonly since: readonly Plain[];
}

export type Answer =
    | { readonly kind: "done"; readonly body: Plain }
    | { readonly kind: "refused"; readonly status: number; readonly problem: Problem }
    | { readonly kind: "away"; readonly why: string };

/** How long the server may take before it counts as away, in milliseconds. */
export const PATIENCE_MS = 10_000;

const SILENT = "The server does not answer.";

/** Statuses by which the server says that it cannot now, but may later. */
const LATER = new Set([408, 425, 429, 502, 503, 504]);

export function post(path: string, body: Plain): Promise<Answer> {
    return ask(path, {
        method: "POST",
        headers: { "Content-Type": "application/json", "X-Borewright": "1" },
        body: JSON.stringify(body),
    });
}

export function get(path: string): Promise<Answer> {
    return ask(path, { method: "GET", headers: { Accept: "application/json" } });
}

/** Fetch a piece of a page, or null where that cannot be had now. */
export async function part(path: string): Promise<string | null> {
    try {
        const response = await fetch(path, init({ method: "GET" }));
        return response.ok ? await response.text() : null;
    } catch {
        return null;
    }
}

async function ask(path: string, request: RequestInit): Promise<Answer> {
    let response: Response;
    let text: string;
    try {
        response = await fetch(path, init(request));
        text = await response.text();
    } catch {
        return { kind: "away", why: SILENT };
    }
    return understood(response.status, text);
}

/** Read an answer; one that is neither ours nor whole counts as none. */
export function understood(status: number, text: string): Answer {
    const body = plain(text);
    if (status >= 200 && status < 300 && body !== null) {
        return { kind: "done", body };
    }
    if (body === null || typeof body["wrong"] !== "string") {
        return { kind: "away", why: SILENT };
    }
    if (LATER.has(status)) {
        return { kind: "away", why: body["wrong"] };
    }
    return { kind: "refused", status, problem: problemOf(body) };
}

export function problemOf(body: Plain): Problem {
    const since = body["since"];
    return {
        problem: word(body["problem"]),
        wrong: word(body["wrong"]),
        right: word(body["right"]),
        where: word(body["where"]),
        given: body["given"] ?? null,
        since: Array.isArray(since) ? since.filter(isPlain) : [],
    };
}

/** Read the numbers that stand in an answer or in a page. */
export function numbersOf(value: unknown): Numbers | null {
    if (!isPlain(value)) {
        return null;
    }
    const numbers: Record<string, number> = {};
    for (const [kind, number] of Object.entries(value)) {
        if (typeof number !== "number" || !Number.isInteger(number)) {
            return null;
        }
        numbers[kind] = number;
    }
    return numbers;
}

export function sameNumbers(one: Numbers | null, other: Numbers | null): boolean {
    if (one === null || other === null) {
        return one === other;
    }
    const kinds = new Set([...Object.keys(one), ...Object.keys(other)]);
    return [...kinds].every((kind) => one[kind] === other[kind]);
}

export function isPlain(value: unknown): value is Plain {
    return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** Read JSON as a mapping, or null where it is none. */
export function plain(text: string | null | undefined): Plain | null {
    try {
        const value: unknown = JSON.parse(text ?? "");
        return isPlain(value) ? value : null;
    } catch {
        return null;
    }
}

/** Read a value of an answer as text. */
export function word(value: unknown): string {
    return typeof value === "string" ? value : "";
}

function init(request: RequestInit): RequestInit {
    return {
        ...request,
        credentials: "omit",
        cache: "no-store",
        redirect: "error",
        signal: AbortSignal.timeout(PATIENCE_MS),
    };
}
