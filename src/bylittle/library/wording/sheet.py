"""Every sentence of the log sheet and of reading it back, in each language.

Sentences for families keep to short words (reading grade 5 or lower). Names in braces are filled in.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from types import MappingProxyType

from bylittle.core.faults import Fault

Words = Mapping[str, str]

_EN = {
    "kind": "Log sheet",
    "for": "for {child}",
    "asked": "{child} does: {steps}",
    "asked_nobody": "Your child does: {steps}",
    "fixed offer": "Start with: {help}",
    "least-to-most": "Start with no help. Add help until it works.",
    "question": "Which help did it take?",
    "each_turn": "After each turn, fill one bubble.",
    "each_day": "Fill one bubble for each step, for one turn a day.",
    "change": (
        "Changed your mind? Cross it out and fill the right one. No turn? Leave it blank. That is fine."
    ),
    "like_this": "Like this:",
    "day": "Day {day}",
    "who": "Who?",
    "stopped": "child stopped",
    "ways": "What got in the way?",
    "way1": "ill",
    "way2": "tired",
    "way3": "no time",
    "way4": "not at home",
    "way5": "not in the mood",
    "notes": "Anything to tell us?",
    "stop": "Stop for today if: {signs}.",
    "flags": "Stop and call {call} if it hurts, if a skill gets lost, or if you are worried.",
    "call_nobody": "your therapist",
    "emergency": "In an emergency, call your local emergency number first.",
    "photo": "For the photo: lay the page flat, all four black squares in the picture.",
    "plan": "Plan {plan}, version {version}",
    "page": "page {page} of {pages}",
    "copy": "copy {copy}",
    "title": "Log sheet: {skill}",
    "qr_alt": "Square code with the number of this sheet: {id}",
    "matrix_alt": "Second square code with the number of this sheet",
}

_ES = {
    "kind": "Hoja de registro",
    "for": "para {child}",
    "asked": "{child} hace: {steps}",
    "asked_nobody": "Su hijo o hija hace: {steps}",
    "fixed offer": "Empiece con: {help}",
    "least-to-most": "Empiece sin ayuda. Añada ayuda hasta que salga.",
    "question": "¿Qué ayuda hizo falta?",
    "each_turn": "Después de cada turno, rellene un círculo.",
    "each_day": "Rellene un círculo por paso, de un turno al día.",
    "change": "¿Se equivocó? Táchelo y rellene el correcto. ¿No hubo turno? Déjelo en blanco. Está bien.",
    "like_this": "Así:",
    "day": "Día {day}",
    "who": "¿Quién?",
    "stopped": "quiso parar",
    "ways": "¿Qué lo hizo difícil?",
    "way1": "enfermedad",
    "way2": "cansancio",
    "way3": "sin tiempo",
    "way4": "fuera de casa",
    "way5": "sin ganas",
    "notes": "¿Algo que contarnos?",
    "stop": "Pare por hoy si: {signs}.",
    "flags": (
        "Pare y llame a {call} si hay dolor, si se pierde algo que ya sabía hacer o si le preocupa algo."
    ),
    "call_nobody": "su terapeuta",
    "emergency": "En una emergencia, llame primero al número de emergencias de su zona.",
    "photo": "Para la foto: hoja plana y los cuatro cuadros negros dentro de la imagen.",
    "plan": "Plan {plan}, versión {version}",
    "page": "página {page} de {pages}",
    "copy": "copia {copy}",
    "title": "Hoja de registro: {skill}",
    "qr_alt": "Código cuadrado con el número de esta hoja: {id}",
    "matrix_alt": "Segundo código cuadrado con el número de esta hoja",
}

#: What a sheet offers under "what got in the way?", in the order of its boxes; the record keeps these words.
HINDRANCES = tuple(_EN[f"way{place}"] for place in range(1, 6))

SHEET_WORDS: Mapping[str, Words] = MappingProxyType(
    {"en": MappingProxyType(_EN), "es": MappingProxyType(_ES)}
)

_LEVELS_ES = MappingProxyType(
    {
        "hand over hand": "mano sobre mano",
        "light touch": "toque ligero",
        "showing": "mostrar",
        "pointing": "señalar",
        "words": "palabras",
        "alone": "sin ayuda",
    }
)
_LEVELS: Mapping[str, Words] = MappingProxyType({"es": _LEVELS_ES})

_WEEKDAYS = MappingProxyType(
    {
        "en": ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"),
        "es": ("lun", "mar", "mié", "jue", "vie", "sáb", "dom"),
    }
)
_MONTHS = MappingProxyType(
    {
        "en": ("Jan", "Feb", "Mar", "Apr", "May", "June", "July", "Aug", "Sept", "Oct", "Nov", "Dec"),
        "es": ("ene", "feb", "mar", "abr", "may", "jun", "jul", "ago", "sept", "oct", "nov", "dic"),
    }
)


def level_word(level: str, language: str) -> str:
    """A level's name in `language`: the default ladder is translated, a plan's own words stay."""
    return _LEVELS.get(language, {}).get(level.casefold(), level)


def day_word(day: date, language: str) -> str:
    """A short date with its weekday: "Mon 30 Nov", "lun 30 nov"."""
    weekday = _WEEKDAYS[language][day.weekday()]
    return f"{weekday} {day.day} {_MONTHS[language][day.month - 1]}"


# Reading a photograph back: why it was refused and what to do. Keys are the codes of `core.sheet.reading`.
_REFUSALS_EN = {
    "not_a_picture": (
        "This is not a picture that can be opened ({kind}). Send a JPEG, PNG, WebP, HEIC or PDF file."
    ),
    "cut_short": "The picture file is cut short. Send it again, or take the photo again.",
    "too_large": (
        "The picture is too large ({megapixels} megapixels; {most} at most). Send it in the phone's "
        "normal photo size."
    ),
    "too_small": "The sheet is too small in the picture. Go closer, so that the sheet fills it.",
    "no_sheet": (
        "No log sheet was found. Lay the sheet flat and take the photo with all four black squares in the"
        " picture."
    ),
    "corners_missing": (
        "{missing} of the four corner squares cannot be seen: cut off, covered or blurred. "
        "Lay the sheet flat, hold the phone still, with all four squares in the picture."
    ),
    "several_sheets": "There is more than one sheet in the picture. Take one photo of each sheet.",
    "not_flat": (
        "The sheet is too bent to be read. Lay it flat, hold the phone straight above it and take the "
        "photo again."
    ),
    "too_blurred": "The picture is too blurred. Hold the phone still, with more light, and take it again.",
    "too_dark": "The picture is too dark or too pale. Take it again with more light and no flash.",
    "no_number": (
        "The number of the sheet could not be read. Take the photo again with both square codes clean and"
        " in the picture, or type the number in."
    ),
    "two_numbers": (
        "The two codes of the sheet say different numbers. Check that nothing is stuck over them, or type"
        " the number in."
    ),
    "no_such_page": (
        "The number names a page that its sheet does not have. Look at it once more, or print the sheet anew."
    ),
    "wrong_number": (
        "This is not the number of a log sheet: its check sign does not fit. Take the photo again with both"
        " square codes sharp; if it stays so, print the sheet anew."
    ),
    "too_doubtful": (
        "Too much of the sheet is unclear ({share} %). Take the photo again with even light, without "
        "shadow or glare."
    ),
    "too_many_pages": (
        "The file has {pages} pages; the first {most} were read. Send the rest as a second file."
    ),
}

_REFUSALS_ES = {
    "not_a_picture": (
        "No es una imagen que se pueda abrir ({kind}). Envíe un archivo JPEG, PNG, WebP, HEIC o PDF."
    ),
    "cut_short": "El archivo está incompleto. Envíelo de nuevo o repita la foto.",
    "too_large": (
        "La imagen es demasiado grande ({megapixels} megapíxeles; {most} como máximo). Envíela en el "
        "tamaño normal del teléfono."
    ),
    "too_small": "La hoja se ve demasiado pequeña. Acérquese hasta que la hoja llene la imagen.",
    "no_sheet": (
        "No se encontró ninguna hoja de registro. Ponga la hoja plana, con los cuatro cuadros negros "
        "dentro de la imagen."
    ),
    "corners_missing": (
        "No se ven {missing} de los cuatro cuadros de las esquinas: cortados, tapados o borrosos. "
        "Ponga la hoja plana y sujete el teléfono quieto, con los cuatro dentro de la imagen."
    ),
    "several_sheets": "Hay más de una hoja en la imagen. Haga una foto de cada hoja.",
    "not_flat": (
        "La hoja está demasiado doblada. Póngala plana, sujete el teléfono justo encima y repita la foto."
    ),
    "too_blurred": "La imagen está borrosa. Sujete el teléfono quieto, con más luz, y repita la foto.",
    "too_dark": "La imagen es demasiado oscura o pálida. Repita la foto con más luz y sin flash.",
    "no_number": (
        "No se pudo leer el número de la hoja. Repita la foto con los dos códigos limpios y dentro de la "
        "imagen, o escriba el número."
    ),
    "two_numbers": (
        "Los dos códigos de la hoja dicen números distintos. Mire que nada los tape, o escriba el número."
    ),
    "no_such_page": (
        "El número nombra una página que su hoja no tiene. Mírelo otra vez o imprima de nuevo la hoja."
    ),
    "wrong_number": (
        "No es el número de una hoja de registro: su signo de control no coincide. Repita la foto con los dos"
        " códigos nítidos; si sigue igual, imprima la hoja de nuevo."
    ),
    "too_doubtful": (
        "Gran parte de la hoja no se ve clara ({share} %). Repita la foto con luz pareja, sin sombras ni "
        "reflejos."
    ),
    "too_many_pages": (
        "El archivo tiene {pages} páginas; se leyeron las primeras {most}. Envíe el resto en otro archivo."
    ),
}

REFUSALS: Mapping[str, Words] = MappingProxyType(
    {"en": MappingProxyType(_REFUSALS_EN), "es": MappingProxyType(_REFUSALS_ES)}
)


def refusal(code: str, language: str = "en", **values: object) -> str:
    """The sentence for a refusal: what is wrong with the photograph and what to do."""
    return REFUSALS[language][code].format(**values)


_TYPED = MappingProxyType(
    {
        "length": "A sheet's number has 16 signs; you typed {count}.",
        "sign": "A sheet's number has digits and capital letters, no I, L, O or U. Look again at: {signs}.",
        "check": "The last sign does not fit the others, so one of them is misread. Look alike: {alike}.",
        "layout": "No log sheet has this number. Look again at what is printed under the square code.",
    }
)


def typed_number(reason: str, text: str, alike: Sequence[tuple[int, str, str]], strange: str) -> str:
    """Why a typed number is none, and where to look again. `strange`: signs that never stand in one."""
    told = ", ".join(f"sign {place} ({sign} or {' or '.join(others)})" for place, sign, others in alike)
    last = "none of these; compare sign by sign"
    return _TYPED[reason].format(count=len(text), signs=strange, alike=told or last)


# Faults in a plan file, for the command line: what is wrong, and how to mend it.
_FAULTS = MappingProxyType(
    {
        "out_of_range": ("{name} is {value}.", "It must lie between {low} and {high}."),
        "missing": ("{name} is missing.", "Add it: {allowed}."),
        "unknown_field": ("{name} is not a field of a plan.", "Take it out, or use one of: {allowed}."),
        "not_text": ("{name} is not text.", "Write it in quotation marks."),
        "empty": ("{name} is empty.", "Write at least one letter."),
        "too_long": ("{name} is too long or holds a line break.", "Use at most {allowed} characters."),
        "not_one_of": ("{name} is {value}.", "It must be one of: {allowed}."),
        "not_list": ("{name} is not a list.", "Write it in square brackets."),
        "not_object": ("{name} is not an object.", "Write it in curly brackets."),
        "not_a_date": ("{name} is {value}.", "Write it as year-month-day, for example {allowed}."),
        "repeated": ("{name} says one thing twice.", "Each may stand there once."),
        "asked_steps": (
            "{value} steps are asked of the child.",
            'Ask between {low} and {high}: put "asked": true on them.',
        ),
        "level_not_on_ladder": ("{name} is {value}.", "It must be one of the plan's levels: {allowed}."),
        "wrong_json": ("The plan is not readable JSON (line {line}: {reason}).", "Mend it there."),
        "language_without_words": (
            "The log sheet has no words for {name} {value}.",
            "Use one of: {allowed}.",
        ),
        "unprintable_page": (
            "The page could not be set: {reason}.",
            "Use letters that the fonts have (Latin, Greek, Cyrillic, Devanagari, Arabic).",
        ),
    }
)


def fault_words(fault: Fault) -> tuple[str, str]:
    """What is wrong with a plan file and how to mend it, in English."""
    what, mend = _FAULTS.get(fault.code, (str(fault), "Mend it there."))
    allowed = fault.values.get("allowed")
    several = allowed if isinstance(allowed, tuple | list) else ()
    values = {
        **fault.values,
        "low": several[0] if several else "",
        "high": several[-1] if several else "",
        "allowed": ", ".join(map(str, several)) if several else allowed,
    }
    known = fault.code in _FAULTS
    return (what.format(**values), mend.format(**values)) if known else (what, mend)
