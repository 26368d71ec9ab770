"""Questions by code of the rule, in the order in which a receiver would ask them within one severity.

`{entry}` is the id of the entry that the finding is about, everything else a parameter of the rule.
"""

from typing import Final

TEXTS: Final[dict[str, str]] = {
    # Without an answer nobody knows what to make.
    "comparison-of-other-specimen": "Which tooth is meant? The target is for {target_specimen}, but {read} was read.",
    "stump-of-other-tooth": "Which tooth is meant? The work is for {work}, the stump belongs to {stump}.",
    "prescription-target-missing": "Which colour is {specimen} to have?",
    "target-differs-from-source": "Is the target {stated}, or {expected} as in {source_id}?",
    "target-set-after-reading": "Which target did the work follow? One was set on {set_at}, after the reading.",
    "stump-colour-missing": "Which colour has the stump under {specimen}? Please send a reading of it.",
    "abutment-unstated": "What is the abutment under {specimen} made of?",
    "thickness-unstated-for-translucent": "How thick will the {material_class} of {entry} be at its thinnest?",
    "cement-unstated-for-thin-work": "Which cement or try-in medium will be under the {thickness_mm} mm of {entry}?",
    # Without an answer a number says something else than it seems.
    "hydration-unknown-in-verdict": "How long had the tooth been dry before {readings}?",
    "hydration-differs-in-verdict": "Can the dry tooth be read again moist? One was {standard}, the other {trial}.",
    "hydration-differs-in-comparison": "Can the dry tooth be read again moist? One was {standard}, the other {trial}.",
    "isolation-too-long": "Can {entry} be read again moist? It was read {minutes} minutes after isolation.",
    "calibration-failed-in-verdict": "Can {session} be read again? Its calibration was not accepted.",
    "calibration-failed": "Can {session} be read again? Its calibration was not accepted.",
    "calibration-after-reading": "When was {entry} calibrated? {at} is stated, after a reading at {reading_at}.",
    "calibration-stale": "Was {entry} calibrated again after {at}? The last reading is of {reading_at}.",
    "calibration-missing": "When and how was the instrument of {session} calibrated?",
    "barrier-differs-from-calibration": "Was {entry} calibrated as it was read? Sheath at calibration: {calibration}; "
    "at the readings: {readings}.",
    "surface-uncleaned": "Can the teeth of {session} be read again after cleaning?",
    "reading-of-unsintered-ceramic": "Is there a reading of {entry} after firing?",
    "zone-unsuited-to-specimen": "Which zone does {entry} mean? {zone} does not go with {specimen_kind} {tooth}.",
    "colour-like-gingiva": "Is {entry} a reading of the tooth? Its colour is that of gingiva.",
    "coordinates-swapped": "Are a* and b* of {entry} in the right columns? a* is {a}, b* is {b}.",
    "coordinate-sign-flipped": "Is the sign of b* of {entry} right? It is {b}.",
    "reading-equals-reference": "Was {entry} measured, or taken over from {label}?",
    "spectra-identical": "Is {entry} a reading of its own? Its spectrum equals that of {reading}.",
    "camera-without-grey-in-verdict": "Is there an instrument reading? {session} was taken with a camera and no grey "
    "reference.",
    "camera-without-grey": "Is there a grey reference in the pictures of {session}?",
    "choice-during-isolation": "Can {entry} be chosen again before isolation? The tooth was drying ({isolation}).",
    "choice-under-operating-light": "Can the choice of {session} be made again by daylight?",
    "choice-between-flattened": "Does the colour lie between two references? {label} looks like two labels.",
    "none-close-overridden": "Which colour is meant in zone {zone}? None of {set} came close.",
    "reading-after-preparation": "Is there a reading from before preparation? {entry} was taken {hours} hours after.",
    "reading-soon-after-whitening": "Has the colour settled? {entry} was taken {hours} hours after treatment.",
    "course-follow-up-too-early": "Is there a reading from the next day? {entry} was taken {hours} hours after "
    "treatment.",
    "course-control-moved": "Is there a reading of something else untreated? {specimen} moved by {difference}.",
    "check-patch-moved": "Was the patch cleaned and the instrument calibrated? It moved by {difference}.",
    "backings-exchanged": "Are the backings named the right way round? Over white L* is {over_white}, over black "
    "{over_black}.",
    "picture-recompressed": "Can you send the original of {path}?",
    "picture-shows-identity": "May {path} be handed on? It shows {shows}.",
    "attachment-differs": "Can you send the original of {path}? It is not the file that the case names.",
    "target-changed-after-dispatch": "Which target did the work follow? One was set on {set_at}, the work went out on "
    "{dispatched}.",
    # Numbers that do not follow from one another.
    "colour-disagrees-with-spectrum": "Which is right for {entry}: the colour {stated}, or its spectrum, which gives "
    "{expected}?",
    "instrument-colour-differs-from-spectrum": "For which illuminant and observer does the instrument of {entry} "
    "compute its colours?",
    "xyz-disagrees-with-lab": "Which is right for {entry}: CIELAB {stated}, or the tristimulus values, which give "
    "{expected}?",
    "mean-disagrees-with-readings": "Which readings were averaged for {entry}? Those named give {expected}, not "
    "{stated}.",
    "mean-includes-withdrawn": "Does {reading} count? It was withdrawn and is averaged in {entry}.",
    "mean-input-missing": "Which colours were averaged for {entry}? {reading} has none that is {wanted}.",
    "mean-mixes-specimens": "Of what is {entry} the mean? Its readings are of {found}.",
    "mean-mixes-kinds": "How was {entry} made? Its readings were taken by {found}.",
    "mean-mixes-zones": "Of which zone is {entry} the mean? Its readings are of {found}.",
    "spread-disagrees-with-readings": "How was the spread of {entry} worked out? The readings give {expected}, not "
    "{stated}.",
    "spread-of-single-reading": "Are there more readings behind {entry}? A spread is stated for one.",
    "spread-large": "Can {entry} be read again? Its {readings} readings lie {spread} apart.",
    "nearest-differs": "Which reference is meant in {entry}? {expected} is nearer than {stated}.",
    "index-disagrees-with-colour": "Of which colour is the {index} of {entry}? It gives {expected}, not {stated}.",
    "translucency-disagrees": "Of which colours is {entry}? They give {expected}, not {stated}.",
    "bridge-disagrees-with-readings": "Which patches are behind {entry}? Those named give {expected}, not {stated}.",
    "effect-disagrees-with-indices": "How was {entry} worked out? Its indices give {expected}, not {stated}.",
    "difference-disagrees": "With which colours and formula was {entry} worked out? They give {expected}, not "
    "{stated}.",
    "direction-disagrees": "Which way does the work differ in {entry}? The colours give {expected}, not {stated}.",
    "uncertainty-disagrees-with-components": "How was the uncertainty of {entry} worked out? Its parts give "
    "{expected}, not {stated}.",
    "uncertainty-below-spread": "How was the uncertainty of {entry} worked out? The repeats alone give "
    "{from_repeats}, {expanded} is stated.",
    # Outcomes that do not follow from the numbers.
    "decision-disagrees-with-rule": "Which outcome is meant in {entry}? The rule leads to another than the one stated.",
    "grade-disagrees-with-difference": "Which grade is meant in {entry}? A difference of {difference} has another.",
    "exclusion-decides-verdict": "Why were readings withdrawn? With them {entry} would come out differently "
    "({difference}).",
    "instruments-unbridged-in-verdict": "Is there a reading of one patch by both {standard} and {trial}?",
    "instrument-unstated-in-verdict": "Which instrument was used for {sides} of {entry}?",
    "kinds-mixed-in-verdict": "Is there an instrument reading of both sides of {entry}? One is by {standard}, the "
    "other by {trial}.",
    "geometry-differs-in-verdict": "Can both sides of {entry} be read in one geometry? {member}: {standard} and "
    "{trial}.",
    "geometry-differs-in-comparison": "Can both sides of {entry} be read in one geometry? {member}: {standard} and "
    "{trial}.",
    "geometry-unknown-in-verdict": "With which geometry do the instruments {instruments} read?",
    "zones-differ-in-verdict": "Which zone is meant in {entry}? One side is {standard}, the other {trial}.",
    "comparison-basis-unknown": "For which illuminant and observer do the colours of {entry} hold?",
    "comparison-basis-differs": "Can {entry} be restated for {wanted}? It holds for {found}.",
    "colour-basis-unknown": "For which illuminant and observer does the colour of {entry} hold?",
    "tolerance-of-other-formula": "Which limit was agreed for {comparison}? The one used is for {tolerance}.",
    "tolerance-of-other-tissue": "Which limit was agreed? The one used was found for {tissue}.",
    "tolerance-source-missing": "Where does the limit of {tolerance} come from, or who agreed it?",
    "tolerance-agreed-after-reading": "Was a limit agreed before the work was read? This one is of {agreed_at}.",
    "verdict-without-tolerance": "By which limit was {entry} judged?",
    "decision-without-uncertainty": "How sure is the difference behind {entry}? The rule needs its uncertainty.",
    "coverage-factor-missing": "With which coverage factor is the uncertainty of {entry} meant?",
    "verdict-from-few-readings": "Are there more readings behind {entry}? On one side ({side}) there are {readings}.",
    "colour-too-coarse-for-tolerance": "Can the colours behind {entry} be sent with more decimals than {decimals}?",
    "conclusion-hides-worst": "What is the outcome of all together? The worst of them is not what {entry} states.",
    "conclusion-leaves-out": "Is {verdict} left out on purpose? {entry} does not name it.",
    "effect-across-instruments": "Is there a reading of one patch by both instruments behind {entry}?",
    "effect-of-other-zone": "Which zone does {entry} mean? Before it was {before}, after it {after}.",
    "effect-at-peak-only": "Is there a reading after the colour of {course} had settled?",
    # The record itself.
    "revision-digest-differs": "Can you send the record as you received it? It was changed after {revision}.",
    "revisions-out-of-order": "Is the clock right? {entry} is dated {at}, before {parent}.",
    "withdrawals-many": "Why were {withdrawn} of {readings} readings of {specimen} ({zone}) withdrawn?",
    "reference-dangling": "What is {id}? {entry} refers to it and it is not in the file.",
    "id-reused": "Which entry is {id}? Two have that id.",
    "document-digest-differs": "Can you send the version of {document} that the case was made with?",
    "text-holds-contact-detail": "Can you send the case without personal data? Something like a {what} stands in "
    "{member}.",
    "subject-looks-like-record-number": "Can you use a random pseudonym? This one looks like a {looks_like}.",
    "spectrum-grid-unknown": "At which wavelengths was the spectrum of {entry} taken?",
    "spectrum-scale-suspect": "Is the spectrum of {entry} in percent? Its middle value is {median}.",
}
