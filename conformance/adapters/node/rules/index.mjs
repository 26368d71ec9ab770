// Every rule that this implementation knows, by code. A rule takes {document, view, options} and gives pointers.

import * as comparability from "./comparability.mjs";
import * as completeness from "./completeness.mjs";
import * as identity from "./identity.mjs";
import * as means from "./means.mjs";
import * as numbers from "./numbers.mjs";
import * as receiving from "./receiving.mjs";
import * as recomputation from "./recomputation.mjs";
import * as relations from "./relations.mjs";
import * as surroundings from "./surroundings.mjs";
import * as times from "./times.mjs";
import * as treatment from "./treatment.mjs";

export const RULES = Object.assign(
  {}, identity.RULES, times.RULES, surroundings.RULES, recomputation.RULES, means.RULES, comparability.RULES,
  numbers.RULES, completeness.RULES, treatment.RULES, relations.RULES,
  receiving.RULES,
);
