"""What the four boxes say: the kinds of an answer, how each looks, and its sentences."""

ORDER = (
    *(
        "lift-none",
        "lift-stop",
        "lift-pump",
        "stop",
        "above",
        "act",
        "rain-act",
        "raise",
        "lift-high",
        "lift-low",
    ),
    *("refused", "cannot", "ask", "rain-watch", "watch", "holds", "rain", "lift", "lines"),
)
"""What is said first, the worst before the rest."""
SHAPES = {  # how a part looks: one of the marks of the guide
    **dict.fromkeys(("lift-none", "lift-stop", "lift-pump", "stop", "above", "act", "rain-act"), "stop"),
    **dict.fromkeys(("raise", "lift-high", "lift-low", "rain-watch", "watch"), "watch"),
    **dict.fromkeys(("refused", "cannot", "ask"), "refused"),
    **dict.fromkeys(("rain", "lift", "lines"), "told"),
    "holds": "holds",
}
FILLING = ("holds", "watch", "raise", "act", "stop", "above")
"""Answers of the table that read otherwise while anything is still to backfill."""
WORDS = {
    "lift-none": "Stop: no plan of lifts",
    "lift-stop": "Stop: the lift's stop dip",
    "lift-pump": "Stop: pump first",
    "stop": "Stop",
    "above": "Stop",
    "act": "Act",
    "rain-act": "Act: the rain",
    "raise": "Raise the water",
    "lift-high": "Too much water for this lift",
    "lift-low": "Too little water for this lift",
    "refused": "Not a reading",
    "cannot": "Cannot tell",
    "ask": "Ask back",
    "rain-watch": "Watch: the rain",
    "watch": "Watch",
    "rain": "The rain",
    "lift": "The next lift",
    "lines": "The two lines",
    "holds": "It holds",
}
MEANS = {
    "holds": "The dip is past the watch line, and the pool stands high enough for it.",
    "watch": "The groundwater is at the watch line or above it; the pool stands high enough today.",
    "raise": "The pool stands too low for groundwater as high as this.",
    "act": "The groundwater is at the act line or above it: little more and the shell may lift.",
    "stop": "The groundwater is so high that no level of the pool is sure.",
    "above": "The groundwater is higher than this job's table goes.",
    "dry": "The tube is dry to its foot: the groundwater is somewhere below, nobody knows how far.",
}
SAY = {
    "mark": "Choose the mark the dip was measured from.",
    "unit": "Choose the unit it was measured in.",
    "nothing": "Type a dip, a lift or the rain.",
    "pool": "How far is it from the rim down to the pool water? At this dip it may stand at {lowest}, and "
    "no lower.",
    "sure": "The pool level changes nothing of that.",
    "dry": "It does not mean that the pool may be emptied. Was the stick stopped short of the foot, "
    "{foot} from the mark? Then the tube is blocked: brush it and dip again.",
    "which": "Is anything still to backfill? Then that lift's own stop dip counts, and water stands no "
    "more than {lead} above the fill: ask which lift is done.",
    "enough": "It stands high enough for that dip, and nothing is let out while anything is still to "
    "backfill.",
    "more": "The table asks for {lowest} or higher, more than the fill holds. Raise the pool to {most} "
    "and no higher, {pump}, and call.",
    "most": "Keep everyone out. Raise the pool to {most} and no higher, {pump}, and call.",
    "pump-flow": "pump the tube at {flow} at most",
    "pump-not": "leave the pump out of the tube",
    "filling": "Nothing is let out while anything is still to backfill, and water stands no more than "
    "{lead} above the fill. If that is not enough, {pump}, and call.",
    "stop": "The dip is at the stop dip of {name} or less: {stop}. Place no fill, keep everyone out of "
    "the dig, {pump}, and call. The pool may rise to {most} and no higher.",
    "pump": "The water outside must be held down for {name}: a dip of {hold} or more. No fill and no "
    "water before that: pump.",
    "low": "Raise the pool to {before} before anything else: the stop dip of {name} counts with that.",
    "high": "The pool stands higher than {most}, which is {lead} over the fill: close the tap, let "
    "nothing out, and bring up the fill by hand.",
    "held": "Keep pumping: a dip of {hold} or more.",
    "no-plan": "No water and no fill go in until the job has been worked out again. Keep the water that "
    "is in there, dip, and call.",
    "next": "{title}: stop at a dip of {stop} or less. {act}",
    "water": "Water first, up to {after}, then fill up to {fill}. Close the tap within {leave}.",
    "water-late": "Water first, up to {after}, then fill up to {fill}.",
    "still": "The water stays at {after}; fill up to {fill}.",
    "last": "Water up to {after}, no fill.",
    "done": "All is filled: the watch line and the act line count, {watch} and {act}.",
    "rise": "{rain} of rain or less can lift the water beside the shell by {rise}, if all of it gets in.",
    "none": "No rain moves nothing.",
    "too-much": "That is more rain than this job's table goes: reckon with water up to the ground.",
    "fills": "{rain} of rain or less can fill the gap beside the shell to the ground, if all of it gets in.",
    "full": "Fill the pool to the overflow, keep everyone out, and dip again every {again}.",
    "to-ground": "From this dip that reaches the ground. Fill the pool to the overflow, keep everyone "
    "out, and dip again every {again}.",
    "to-act": "From this dip that reaches the act line. Keep everyone out, fill the pool to the overflow, "
    "and dip again every {again}.",
    "to-watch": "From this dip that reaches the watch line. Keep the pool at its working level or higher, "
    "and dip again every day.",
    "to-stop": "From this dip that reaches the stop dip of {name}. No more fill, cover the gap, and dip "
    "again every {again}.",
    "filling-full": "No more fill, cover the gap, keep everyone out of the dig, and dip again every {again}.",
    "short": "From this dip that stays past the watch line. Part of the rain may stand in the tube already.",
    "short-lift": "From this dip that stays past the stop dip of {name}. Part of the rain may stand in "
    "the tube already.",
    "no-line": "Nobody can say from here whether that reaches the watch line.",
    "no-dip": "Take a dip now: without one nobody can say whether that reaches the watch line.",
    "not-rain": "The rain is not a reading: write {such}.",
    "again-rain": "That is more than a metre of rain in a day. Ask again.",
}
SUCH_RAIN = {"mm": "millimetres, such as 12 or 12.5", "in": "inches, such as 1/2 or 1 1/4"}
