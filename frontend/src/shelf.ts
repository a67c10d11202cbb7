/** Where waiting entries are kept on the device: a database of the browser, on its disk before anything is sent. */

import type { Waiting } from "./waiting.ts";

export type New = Omit<Waiting, "order">;

export interface Shelf {
    /** Whether what is put here outlives the page. */
    readonly lasts: boolean;
    /** What waits, in order. */
    all(): Promise<Waiting[]>;
    /** Put an entry at the end, made in view of what waits; nothing where its key waits already. */
    add(make: (queue: readonly Waiting[]) => New): Promise<Waiting | null>;
    /** Change what waits, all of it or nothing. */
    change(make: (queue: readonly Waiting[]) => Changes): Promise<void>;
}

export interface Changes {
    readonly put?: readonly Waiting[];
    readonly remove?: readonly Waiting[];
}

const DATABASE = "borewright";
const STORE = "waiting";

/** Open the device's shelf; one in memory where the browser keeps nothing. */
export async function openShelf(): Promise<Shelf> {
    try {
        return new DeviceShelf(await opened());
    } catch {
        return new MemoryShelf();
    }
}

export class MemoryShelf implements Shelf {
    readonly lasts: boolean = false;
    #queue: Waiting[] = [];
    #order = 0;

    all(): Promise<Waiting[]> {
        return Promise.resolve([...this.#queue]);
    }

    add(make: (queue: readonly Waiting[]) => New): Promise<Waiting | null> {
        const made = make(this.#queue);
        if (this.#queue.some((entry) => entry.key === made.key)) {
            return Promise.resolve(null);
        }
        this.#order += 1;
        const entry = { ...made, order: this.#order };
        this.#queue.push(entry);
        return Promise.resolve(entry);
    }

    change(make: (queue: readonly Waiting[]) => Changes): Promise<void> {
        const { put = [], remove = [] } = make(this.#queue);
        const gone = new Set(remove.map((entry) => entry.order));
        const changed = new Map(put.map((entry) => [entry.order, entry]));
        this.#queue = this.#queue
            .filter((entry) => !gone.has(entry.order))
            .map((entry) => changed.get(entry.order) ?? entry);
        return Promise.resolve();
    }
}

class DeviceShelf implements Shelf {
    readonly lasts = true;
    readonly #database: IDBDatabase;

    constructor(database: IDBDatabase) {
        this.#database = database;
    }

    all(): Promise<Waiting[]> {
        const store = this.#database.transaction(STORE, "readonly").objectStore(STORE);
        return answered(store.getAll() as IDBRequest<Waiting[]>);
    }

    async add(make: (queue: readonly Waiting[]) => New): Promise<Waiting | null> {
        let added: Waiting | null = null;
        await this.#write((queue, store) => {
            const made = make(queue);
            if (queue.some((entry) => entry.key === made.key)) {
                return;
            }
            const order = (queue.at(-1)?.order ?? 0) + 1;
            added = { ...made, order };
            store.add(added);
        });
        return added;
    }

    change(make: (queue: readonly Waiting[]) => Changes): Promise<void> {
        return this.#write((queue, store) => {
            const { put = [], remove = [] } = make(queue);
            for (const entry of remove) {
                store.delete(entry.order);
            }
            for (const entry of put) {
                store.put(entry);
            }
        });
    }

    /** Read and write in one transaction, on the disk before it is done; transactions of other tabs wait. */
    #write(act: (queue: Waiting[], store: IDBObjectStore) => void): Promise<void> {
        return new Promise((resolve, reject) => {
            const transaction = this.#database.transaction(STORE, "readwrite", { durability: "strict" });
            const store = transaction.objectStore(STORE);
            transaction.oncomplete = () => resolve();
            transaction.onabort = () => reject(transaction.error ?? new Error("not kept"));
            const reading = store.getAll() as IDBRequest<Waiting[]>;
            reading.onsuccess = () => act(reading.result, store);
        });
    }
}

function opened(): Promise<IDBDatabase> {
    const request = indexedDB.open(DATABASE, 1);
    request.onupgradeneeded = () => request.result.createObjectStore(STORE, { keyPath: "order" });
    return answered(request);
}

function answered<T>(request: IDBRequest<T>): Promise<T> {
    return new Promise((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error ?? new Error("not kept"));
    });
}
