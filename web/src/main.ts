// The pages work without any of this. Each island makes one thing quicker to use.
import { openSlips } from "./island/slip";
import { findAsYouType } from "./island/find";
import { linkListAndMap } from "./island/link";
import { moveMap } from "./island/map";
import { tellPatches } from "./island/ground";

openSlips();
linkListAndMap();
moveMap();
findAsYouType(() => moveMap());
tellPatches();
