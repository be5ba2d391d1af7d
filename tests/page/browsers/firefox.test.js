// Firefox. Its remote protocol can choose files, but no folders, and can't drop anything: that is walked in Chromium only.

import { startFirefox } from "./drivers.js";
import { walks } from "./walks.js";

walks(startFirefox);
