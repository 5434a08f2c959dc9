"""What the operator states was done at one tooth; never copied from the plan."""

from typing import Annotated

from docgen.answer import Answer
from docgen.case.field_types import (
    NA,
    NONE,
    DecimalOr,
    IntOr,
    Jaw,
    Line,
    Side,
    Text,
    TextOr,
    Tooth,
    YesNo,
    YesNoAny,
    YesNoApplicable,
    a_code,
    a_count,
    a_group,
    a_line,
    a_list,
    a_positive,
    a_text,
)
from docgen.case.models.plan import PROCEDURES
from docgen.case.recorded import Recorded, part, recorded


class Dressing(Recorded):
    """What stays in the socket."""

    name: Line = recorded("Material in words, not a brand", "S", "gelatin sponge")
    resorbable: YesNo = recorded("Whether the body takes it up", "S", "yes")
    lot: Line = recorded("Lot", "S", "G-88")


class Sutures(Recorded):
    """The stitches."""

    count: Annotated[IntOr, a_count(low=1)] = recorded("How many", "S", "2")
    material: Annotated[TextOr, a_code("plain_gut chromic_gut polyglactin polyglycolic silk nylon other")] = recorded(
        "Material", "S", "plain_gut"
    )
    size: Line = recorded("Size", "S", "3-0")
    resorbable: YesNo = recorded("Whether the body takes them up", "S", "yes")
    technique: Line = recorded("How they were placed", "S", "interrupted")


class Complication(Recorded):
    """One thing that did happen."""

    code: Annotated[
        TextOr,
        a_code(
            "root_fracture fragment_left bleeding sinus_opened tuberosity adjacent_damage jaw_fracture "
            "nerve_injury_seen emphysema fragment_lost instrument_broken soft_tissue_injury wrong_tooth other"
        ),
    ] = recorded("What happened", "S", "root_fracture")
    words: Text = recorded("The same in words", "S", "The tip of the distal root broke")
    action: Text = recorded("What was done about it", "S", "Removed with an elevator")
    patient_told: YesNo = recorded("Whether the patient was told", "S", "yes")


class Fragment(Recorded):
    """A part of the tooth that was left."""

    site: Line = recorded("Where it lies", "S", "distal root tip")
    size_mm: Annotated[DecimalOr, a_positive()] = recorded("Size in mm", "S", "3")
    reason: Text = recorded("Why it was left", "S", "Close to the nerve")
    on_purpose: YesNo = recorded("Whether that was the plan", "S", "no")
    patient_told: YesNo = recorded("Whether the patient was told", "S", "yes")


class PerformedProcedure(Recorded):
    """What was done at one tooth; steps that a stopped operation did not reach take not_applicable."""

    tooth: Tooth = recorded("The tooth in the declared notation; an entry of its own", "S", "38")
    side: Side = recorded("The patient's side; a second witness to the number", "S", "left")
    jaw: Jaw = recorded("The jaw; a second witness to the number", "S", "lower")
    performed: Annotated[TextOr, a_code(f"{PROCEDURES} stopped not_done")] = recorded("What was done", "S", "removal")
    difference: Annotated[TextOr, a_text(NONE)] = recorded("Why it is not what was proposed", "S", "none")
    findings: Annotated[TextOr, a_text(NA)] = recorded("What was found", "S", "Roots straight and complete")
    bone_cover: Annotated[TextOr, a_code("soft_tissue partial_bone complete_bone", NONE, NA)] = recorded(
        "What covered the tooth", "S", "partial_bone"
    )
    roots_seen: Annotated[TextOr, a_line(NA)] = recorded("The roots as seen", "S", "two, straight")
    nerve_seen: YesNoAny = recorded("Whether the nerve was seen", "S", "no")
    lesion_seen: Annotated[TextOr, a_text(NONE, NA)] = recorded("Lesion as seen", "S", "none")
    flap: Annotated[TextOr, a_code("envelope three_sided other", NONE, NA)] = recorded("Flap", "S", "envelope")
    relieving_incision: YesNoApplicable = recorded("Whether a relieving cut was made", "S", "no")
    lingual_flap_raised: YesNoApplicable = recorded("Whether the lingual flap was raised", "S", "no")
    lingual_retractor: YesNoApplicable = recorded("Whether a lingual retractor was used", "S", "no")
    bone_removed: Annotated[TextOr, a_text(NONE, NA)] = recorded("Where bone was removed", "S", "buccal")
    handpiece: Annotated[TextOr, a_code("air_driven electric hand_instrument", NA)] = recorded(
        "What it was removed with", "S", "electric"
    )
    irrigation: Annotated[TextOr, a_line(NA)] = recorded("Cooling", "S", "saline")
    sectioned: YesNoApplicable = recorded("Whether the tooth was divided", "S", "yes")
    sectioned_to: Annotated[TextOr, a_code("furcation short_of_furcation past_furcation", NA)] = recorded(
        "How far it was divided", "S", "furcation"
    )
    tooth_out: Annotated[TextOr, a_code("whole in_pieces crown_only not_out", NA)] = recorded(
        "How the tooth came out", "S", "in_pieces"
    )
    roots_complete: YesNoAny = recorded("Whether all roots are accounted for", "S", "yes")
    follicle: Annotated[TextOr, a_code("removed_no_curettage curetted left none_present", NA)] = recorded(
        "The follicle", "S", "removed_no_curettage"
    )
    debridement: Annotated[TextOr, a_text(NA)] = recorded("How the socket was cleaned", "S", "Loose bone taken out")
    socket_irrigation: Annotated[TextOr, a_line(NONE, NA)] = recorded("How the socket was rinsed", "S", "saline")
    dressing: Annotated[Dressing | Answer, a_group(NONE, NA)] = part(Dressing, "What stays in the socket", "S")
    sinus_test: Annotated[TextOr, a_code("negative positive not_done", NA)] = recorded(
        "Test for an opening to the sinus", "S", "not_applicable"
    )
    sinus_opening: Annotated[TextOr, a_code("under_3_mm 3_mm_or_more", NONE, NA)] = recorded(
        "Opening to the sinus", "S", "not_applicable"
    )
    sinus_repair: Annotated[TextOr, a_text(NONE, NA)] = recorded("How it was closed", "S", "not_applicable")
    sutures: Annotated[Sutures | Answer, a_group(NONE, NA)] = part(Sutures, "The stitches", "S")
    complications: Annotated[tuple[Annotated[Complication, a_group()], ...] | Answer | None, a_list(NONE)] = recorded(
        "What went wrong", "S", "none"
    )
    fragment: Annotated[Fragment | Answer, a_group(NONE, NA)] = part(Fragment, "A part that was left", "S")
    parant: Annotated[TextOr, a_code("I II III IV", NA)] = recorded("Parant grade, judged afterwards", "S", "III")
