/** Puts a newly rendered piece of the page in the place of the old one, and leaves hand and eye where they were. */

/** What a person may be at: the folds that are open, the boxes ticked, the field or key that has the focus. */
interface Place {
    readonly folds: ReadonlySet<string>;
    /** Of which pass something was ticked: what was said of one pass says nothing of the next. */
    readonly pass: string;
    readonly ticked: ReadonlySet<string>;
    /** Finds what had the focus; null where that was outside. */
    readonly focus: string | null;
    readonly caret: number | null;
}

/** Attributes that tell an element apart over two renderings of the page. */
const TELLING = ["data-event", "data-field", "data-key", "data-act", "data-machine", "data-point", "href"];
const FLAGS = ["data-primary", "data-value", "data-ready", "data-undo", "data-speak", "data-keep", "data-mend"];

/** Where the hand goes when what it was at is gone: to what is asked now. */
const ASKED_NOW = "form[data-primary] input[data-value], [data-act], form[data-entry] input[data-value]";

export function swap(root: HTMLElement, html: string): void {
    const place = placeIn(root);
    root.innerHTML = html;
    restore(root, place);
}

function placeIn(root: HTMLElement): Place {
    const focused = document.activeElement;
    const within = focused instanceof HTMLElement && root.contains(focused);
    return {
        folds: new Set([...root.querySelectorAll("details[open] > summary")].map(foldName)),
        pass: passOf(root),
        ticked: new Set([...root.querySelectorAll("[data-point]:checked")].map(point)),
        focus: within ? selector(focused) : null,
        caret: within && focused instanceof HTMLInputElement && focused.type === "text" ? focused.selectionStart : null,
    };
}

function restore(root: HTMLElement, place: Place): void {
    for (const summary of root.querySelectorAll("details > summary")) {
        if (place.folds.has(foldName(summary))) {
            summary.parentElement?.setAttribute("open", "");
        }
    }
    for (const box of root.querySelectorAll<HTMLInputElement>("[data-point]")) {
        box.checked = place.pass === passOf(root) && place.ticked.has(point(box));
    }
    if (place.focus === null) {
        return;
    }
    const same = inView(root, place.focus);
    const next = same ?? inView(root, ASKED_NOW);
    next?.focus({ preventScroll: true });
    if (next === same && next instanceof HTMLInputElement && place.caret !== null) {
        next.setSelectionRange(place.caret, place.caret);
    }
}

/** The first element found that is not folded away. */
function inView(root: HTMLElement, which: string): HTMLElement | undefined {
    return [...root.querySelectorAll<HTMLElement>(which)].find((element) => element.checkVisibility());
}

/** A fold goes by its words; a count in them may have changed. */
function foldName(summary: Element): string {
    return (summary.textContent ?? "").replace(/\d+ .*/, "").trim();
}

function passOf(root: HTMLElement): string {
    return root.querySelector<HTMLElement>(".ready")?.dataset["of"] ?? "";
}

function point(box: Element): string {
    return box.getAttribute("data-point") ?? "";
}

function selector(element: HTMLElement): string {
    const form = element.closest("form[data-entry]");
    const around = form === null || form === element ? "" : `form${attributes(form)} `;
    return `${around}${element.localName}${attributes(element)}`;
}

function attributes(element: Element): string {
    const told = TELLING.filter((name) => element.hasAttribute(name)).map(
        (name) => `[${name}=${JSON.stringify(element.getAttribute(name))}]`,
    );
    const flagged = FLAGS.filter((name) => element.hasAttribute(name)).map((name) => `[${name}]`);
    return [...told, ...flagged].join("");
}
