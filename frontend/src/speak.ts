/** Says what has changed: to whoever has the screen read out, and aloud where the device can and the person wants it. */

import { setting } from "./device.ts";

export function canSpeak(): boolean {
    return "speechSynthesis" in window;
}

export function speak(words: string): void {
    if (!canSpeak() || words.trim() === "") {
        return;
    }
    window.speechSynthesis.cancel();
    const said = new SpeechSynthesisUtterance(words);
    said.lang = document.documentElement.lang || "en";
    said.rate = 0.95;
    window.speechSynthesis.speak(said);
}

/** Read a move that has just come, where this device is set so. */
export function speakIfAsked(words: string): void {
    if (setting("speak") === "on") {
        speak(words);
    }
}

/** Tell whoever has the screen read out. */
export function announce(words: string): void {
    const line = document.querySelector<HTMLElement>("[data-announce]");
    if (line !== null) {
        line.textContent = words;
    }
}
