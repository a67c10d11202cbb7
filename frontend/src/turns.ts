/**
 * One thing that is done in turns: a wish that comes while it is being done is carried out after it, once for all that
 * came. What was begun before a wish may have missed what the wish is for, so it does not count as carrying it out.
 */
export class Turns {
    readonly #act: () => Promise<void>;
    #running: Promise<void> | null = null;
    #wanted = false;

    constructor(act: () => Promise<void>) {
        this.#act = act;
    }

    /** Resolves when everything wished so far was done. */
    want(): Promise<void> {
        this.#wanted = true;
        this.#running ??= this.#run();
        return this.#running;
    }

    async #run(): Promise<void> {
        try {
            while (this.#wanted) {
                this.#wanted = false;
                await this.#act();
            }
        } finally {
            this.#running = null;
        }
    }
}
