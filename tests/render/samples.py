"""Documents for the renderers' tests: one for a patient, one for staff; people and places are invented."""

from dataclasses import replace

from docgen.blocks import (
    Caution,
    Choice,
    Danger,
    Document,
    Figure,
    Furniture,
    Heading,
    Items,
    Layout,
    Mark,
    Note,
    Origin,
    PageBreak,
    Pairs,
    Paragraph,
    Section,
    Signature,
    Span,
    Table,
    Together,
    Words,
    Writing,
)


def words(text: str, *, path: str = "") -> Words:
    """Make words of a sentence; what stands between asterisks is bold."""
    return tuple(Span(part, bold=bool(number % 2), path=path) for number, part in enumerate(text.split("*")) if part)


FURNITURE = Furniture(
    clinic=words("Harrowmere Dental Surgery"),
    contact=words("7 Millrace Walk, Harrowmere\nTelephone 0100 555 0142"),
    person=(words("*Orla Fenwright*"), words("Born 19\u00a0November\u00a02001"), words("No. P-20417")),
    marks=(Mark("sample", "SAMPLE"), Mark("draft", "DRAFT"), Mark("unsigned", "UNSIGNED COPY", filled=False)),
    foot=(
        words("Prepared from the clinic’s record. It does not replace what your surgeon told you."),
        words("Record HM-2026-0117 · consent, version 1 · figures, edition 1 · 3 March 2026 · patient copy"),
    ),
    page="Page {page} of {pages}",
)

ORIGIN = Origin(
    kind="consent",
    version="1",
    language="en",
    copy="patient",
    record="HM-2026-0117",
    case_digest="0f" * 32,
    template_digest="1e" * 32,
    editions=("risk 2026-1",),
    settings=(("la.regime", "uk_taught"),),
    program="docgen 0.1.0",
    issued_on="2026-03-03",
)

_SIGN = (words("Signature of"), words("Date and time"))

PATIENT_SECTIONS = (
    Section(
        "C1",
        words("What was done"),
        (
            Paragraph(words("Please read this page first."), role="lead"),
            Paragraph(
                words(
                    "On *17\u00a0March\u00a02026* we removed your *lower left wisdom tooth* (38 FDI, 17 Universal). "
                    "The operation ended at 10:40. Given by Maren Holt, surgeon."
                )
            ),
        ),
    ),
    Section(
        "A1",
        (),
        (
            Danger(
                words("Call us at once for"),
                (
                    Items(
                        tuple(
                            words(text)
                            for text in (
                                "heavy bleeding that does not stop",
                                "swelling that spreads, or closes your eye or throat",
                                "fever",
                                "pain or swelling that grows after 20\u00a0March",
                            )
                        )
                    ),
                    Pairs(
                        (
                            (words("By day"), words("*0100\u00a0555\u00a00142*")),
                            (words("From 18:00 to 08:00"), words("*0100\u00a0555\u00a00199*")),
                        )
                    ),
                ),
            ),
        ),
    ),
    Section(
        "A2 A3",
        words("Today and tomorrow"),
        (
            Table(
                (words("When"), words("What"), words("Why")),
                (
                    (
                        words("*11:25, 12:10*"),
                        words("Change the damp gauze. Bite on it firmly."),
                        words("stops bleeding"),
                    ),
                    (
                        words("*before 13:12*"),
                        words("Take ibuprofen 400\u00a0mg with food. No more than 3 times a day."),
                        words("works before the numbness ends"),
                    ),
                    (
                        words("*if it bleeds*"),
                        words("Press firmly for 15 to 20\u00a0minutes."),
                        words("pressure stops it"),
                    ),
                ),
                caption=words("Times are those of the clinic."),
            ),
            Items(
                tuple(words(t) for t in ("Rinse with salt water.", "Take *soft food* for a week.", "Rest.")),
                ordered=True,
            ),
            Figure("jaw", {}, words("Sketch of both jaws."), (words("Your left is on the right."),)),
        ),
    ),
    Section(
        "C9",
        words("What may go wrong"),
        (
            Table(
                (words("What"), words("of 1,000 people"), words("not affected")),
                (
                    (words("Your lip or chin may stay numb"), words("12"), words("988")),
                    (words("Dry socket: pain that begins days later"), words("240"), words("760")),
                ),
                numeric=(1, 2),
            ),
            Note(words("Numbers are for people with this operation.")),
        ),
    ),
    Section(
        "C12",
        words("You agree"),
        (
            Heading(3, words("Your copy")),
            Choice(words("My copy"), (words("I took it"), words("I do not want it"), words("send later")), chosen=0),
            Choice(words("Has anything changed since 3\u00a0March?"), (words("No"), words("Yes, this:"))),
            Writing(words("What has changed"), 2),
            Signature(
                words(
                    "I know what will be done, and I agree to the removal of *one tooth: my lower left wisdom tooth*."
                ),
                words("patient"),
                words("Orla Fenwright"),
                labels=_SIGN,
            ),
            Signature(
                words("I explained the treatment, the other choices and the risks in this record."),
                words("surgeon"),
                words("Maren Holt"),
                words("registration number 000000 (sample)"),
                words("3\u00a0March\u00a02026, 10:15"),
                _SIGN,
            ),
        ),
    ),
)

STAFF_SECTIONS = (
    Section(
        "O1",
        words("When and who"),
        (
            Pairs(
                (
                    (words("Date, place"), words("17\u00a0March\u00a02026, Harrowmere Dental Surgery")),
                    (words("Start to end"), words("*10:05 to 10:40*, 35 minutes; elective")),
                    (words("Operator"), words("Maren Holt, surgeon, 000000 (sample)")),
                    (words("Allergies"), words("*not recorded*")),
                )
            ),
            Caution(words("*Caution* The image is older than twelve months.")),
        ),
    ),
    Section(
        "O9",
        words("Injections"),
        (
            Table(
                tuple(map(words, ("Solution", "Time", "Technique, site", "mL", "lidocaine mg", "epinephrine µg"))),
                (
                    tuple(
                        map(
                            words,
                            (
                                "lidocaine 2 % with epinephrine 1:80,000",
                                "09:55",
                                "block, lower left",
                                "2.2",
                                "44.0",
                                "27.5",
                            ),
                        )
                    ),
                    tuple(map(words, ("the same", "10:12", "intraligamentary, 30 gauge, 20 s", "0.2", "4.0", "2.5"))),
                    tuple(map(words, ("Total", "", "", "2.4", "48.0", "30.0"))),
                ),
                numeric=(3, 4, 5),
                total=True,
            ),
            Together((Heading(3, words("Limits")), Note(words("Combined 33.8 %. Limits by weight, 62 kg.")))),
        ),
    ),
    Section(
        "O10",
        words("Done"),
        (Paragraph(words("Small print for staff."), role="small"), PageBreak(), Paragraph(words("End."))),
    ),
)

PATIENT = Document(words("Looking after yourself after surgery"), "en", "ltr", PATIENT_SECTIONS, FURNITURE, ORIGIN)
STAFF = Document(words("Operative note"), "en", "ltr", STAFF_SECTIONS, FURNITURE, ORIGIN, Layout(voice="staff"))
LARGE = replace(PATIENT, layout=Layout(large_print=True))
LETTER = replace(STAFF, layout=Layout(voice="staff", paper="Letter"))

SAMPLES = {"patient": PATIENT, "staff": STAFF, "large": LARGE, "letter": LETTER}
