/** Runs before the first paint: gives the page its look, and asks for the unit that this device shows. */

import { dress, setting } from "./device.ts";

dress(document.documentElement);

const here = new URL(location.href);
const wanted = setting("show");
if (wanted !== "" && here.searchParams.get("show") !== wanted) {
    here.searchParams.set("show", wanted);
    location.replace(here);
}
