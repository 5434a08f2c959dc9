"""Images, and the findings on each tooth before anybody decides."""

from typing import Annotated

from docgen.answer import Answer
from docgen.case.field_types import (
    NA,
    NK,
    NONE,
    Day,
    DecimalOr,
    IntOr,
    Jaw,
    Line,
    Name,
    Side,
    Text,
    TextOr,
    Tooth,
    YesNo,
    YesNoAny,
    YesNoKnown,
    a_code,
    a_count,
    a_group,
    a_line,
    a_list,
    a_number,
    a_text,
    an_id,
)
from docgen.case.recorded import Recorded, part, recorded


class Image(Recorded):
    """One radiograph or scan."""

    id: Name = recorded("Short name of the image", "F S", "im1")
    type: Annotated[TextOr, a_code("periapical panoramic cone_beam_ct other")] = recorded(
        "Kind of image", "F S", "panoramic"
    )
    taken_on: Day = recorded("Day it was taken", "F S", "2026-02-20")
    teeth: Annotated[tuple[Tooth, ...] | None, a_list()] = recorded("Teeth it shows", "F S", "[38]")
    file: Annotated[TextOr, an_id(NONE)] = recorded("Id of an entry of files", "F S", "f1")
    reason: Text = recorded("Why it was taken", "F S", "Relation of the roots to the nerve canal")
    report: Annotated[TextOr, a_text(NONE)] = recorded("What it shows", "F S", "Roots touch the canal")
    viewed_by: Annotated[TextOr, an_id(also="referrer")] = recorded("Id of who read it, or referrer", "F S", "mh")
    viewed_on: Day = recorded("Day it was read", "F S", "2026-03-03")


class Kim(Recorded):
    """Measures for the Kim index of fully impacted lower third molars."""

    level: Annotated[IntOr, a_count(low=1, high=4)] = recorded("Level of depth", "S", "4")
    space_ratio: Annotated[DecimalOr, a_number()] = recorded(
        "Distance from second molar to ramus, divided by the tooth's width", "S", "0.2"
    )
    reverse: YesNo = recorded("Whether the crown points rootward", "S", "no")


class Canal(Recorded):
    """The tooth and the canal of the lower nerve."""

    relation: Annotated[TextOr, a_code("clear touching overlapping", NA, NK)] = recorded(
        "Root and canal on the film; overlapping is the root over the canal", "S F", "touching"
    )
    film_signs: Annotated[
        tuple[
            Annotated[
                str | None,
                a_code(
                    "root_darkening root_deflection root_narrowing dark_bifid_apex canal_diversion canal_narrowing "
                    "white_line_lost"
                ),
            ],
            ...,
        ]
        | Answer
        | None,
        a_list(NONE, NK),
    ] = recorded("Signs on the film that root and canal meet", "S F", "none")
    ct_position: Annotated[TextOr, a_code("buccal lingual below between_roots not_imaged")] = recorded(
        "Where the canal runs on the CT", "S", "not_imaged"
    )
    ct_contact: YesNoAny = recorded("Whether root and canal touch on the CT", "S", "not_applicable")


class Sinus(Recorded):
    """The tooth and the sinus."""

    relation: Annotated[TextOr, a_code("clear tips_on_floor some_roots_overlap all_roots_overlap", NA, NK)] = recorded(
        "Roots and floor of the sinus", "S", "not_applicable"
    )
    overlap_fraction: Annotated[DecimalOr, a_number(NA, NK, high="1")] = recorded(
        "Part of the root length over the sinus", "S", "not_applicable"
    )


class ToothItem(Recorded):
    """The findings on one tooth."""

    tooth: Tooth = recorded("The tooth in the declared notation", "F S", "38")
    side: Side = recorded("The patient's side; a second witness to the number", "F S", "left")
    jaw: Jaw = recorded("The jaw; a second witness to the number", "F S", "lower")
    present: Annotated[TextOr, a_code("tooth root_only absent")] = recorded("What is left of it", "F S", "tooth")
    eruption: Annotated[TextOr, a_code("erupted partly_impacted fully_impacted", NK)] = recorded(
        "How far it has come through", "S F", "partly_impacted"
    )
    cover: Annotated[TextOr, a_code("soft_tissue partial_bone complete_bone", NONE, NK)] = recorded(
        "What covers it", "S F", "soft_tissue"
    )
    angle_degrees: Annotated[DecimalOr, a_number(NK, low="-180", high="180")] = recorded(
        "Angle of a third molar; plus is tipped mesially", "S", "35"
    )
    angle_class: Annotated[TextOr, a_code("vertical mesioangular horizontal distoangular transverse other")] = recorded(
        "Class of the angle, only if nothing was measured", "S", "mesioangular"
    )
    depth: Annotated[TextOr, a_code("A B C", NK)] = recorded("Depth by Pell and Gregory", "S F", "B")
    ramus: Annotated[TextOr, a_code("I II III", NA, NK)] = recorded(
        "Space to the ramus by Pell and Gregory, lower third molars only", "S F", "II"
    )
    kim: Annotated[Kim | Answer, a_group(NA)] = part(Kim, "Measures for the Kim index", "S")
    surgeon_grade: Annotated[TextOr, a_code("slight moderate very extreme", NA)] = recorded(
        "The surgeon's own grade where no index scores the tooth", "S", "not_applicable"
    )
    root_fraction: Annotated[DecimalOr, a_number(NK, high="1")] = recorded("Part of the root that is formed", "S", "1")
    apex: Annotated[TextOr, a_code("open closed", NK)] = recorded("Root tip", "S", "closed")
    root_count: Annotated[IntOr, a_count(NK, low=1)] = recorded("Number of roots", "S", "2")
    root_shape: Annotated[
        tuple[Annotated[str | None, a_code("straight fused_conical convergent divergent curved hooked bulbous")], ...]
        | Answer
        | None,
        a_list(NK),
    ] = recorded("Shape of the roots", "S", "[straight]")
    ligament: Annotated[TextOr, a_code("wide normal narrow", NK)] = recorded("Space of the ligament", "S", "normal")
    follicle: Annotated[TextOr, a_code("large normal thin", NK)] = recorded("Follicle", "S", "thin")
    bone: Annotated[TextOr, a_code("elastic normal dense", NK)] = recorded("Bone", "S", "dense")
    associated_lesion: Annotated[TextOr, a_code("cyst enlarged_follicle tumor_suspected other", NONE, NK)] = recorded(
        "Lesion at the tooth", "S", "none"
    )
    neighbor: Annotated[
        tuple[
            Annotated[str | None, a_code("touches_second_molar large_filling crown caries root_filled loose")],
            ...,
        ]
        | Answer
        | None,
        a_list(NONE),
    ] = recorded("State of the tooth next to it", "S F", "none")
    own_state: Annotated[
        tuple[
            Annotated[str | None, a_code("root_filled crown_lost ankylosis_suspected hypercementosis lone_standing")],
            ...,
        ]
        | Answer
        | None,
        a_list(NONE),
    ] = recorded("State of the tooth itself", "S F", "none")
    canal: Annotated[Canal | Answer, a_group(NA)] = part(Canal, "The tooth and the canal of the lower nerve", "S F")
    sinus: Annotated[Sinus | Answer, a_group(NA)] = part(Sinus, "The tooth and the sinus", "S")
    symptoms: Annotated[TextOr, a_text(NONE)] = recorded("What the patient tells", "F S", "two painful swellings")
    findings: Annotated[TextOr, a_text(NONE)] = recorded("What the examination shows", "F S", "gum red over the crown")
    infection_now: YesNoKnown = recorded("Whether it is infected now", "F S", "no")
    previous_infection: YesNoKnown = recorded("Whether it was infected before", "F S", "yes")
    indication: Annotated[
        tuple[
            Annotated[
                str | None,
                a_code(
                    "caries_unrestorable pulp_untreatable cellulitis_abscess osteomyelitis resorption fracture "
                    "follicle_disease obstructs_surgery tumor_field pericoronitis_severe pericoronitis_repeated "
                    "orthodontic periodontal other"
                ),
            ],
            ...,
        ]
        | None,
        a_list(),
    ] = recorded("Why treatment is proposed", "S F", "[pericoronitis_repeated]")
    indication_words: Text = recorded("The same in plain words; needed with other", "S F", "The gum has swollen twice")
    diagnosis: Line = recorded("Diagnosis", "S F", "repeated pericoronitis")
    icd10: Annotated[TextOr, a_line(NK)] = recorded("ICD-10 code", "S F", "K05.2")
    prognosis: Annotated[TextOr, a_text(NK)] = recorded("What is to be expected", "S F", "It is likely to swell again")
