"""Put fits into a fitter's words: how tight, what pressing does, how warm, what clearance is left."""

from __future__ import annotations

from models.formulas.iso_286 import UM_PER_MM, Fit, FitKind, Limits
from models.formulas.mounting import MOST_SEALED_C
from models.formulas.press_fit import FRICTION
from models.spec.build import Build
from trainer.session.fits import WARM_K, FitAnswer, FreeFit, Mounted, Pressed, Residual, Side
from trainer.words import Words
from trainer.words.telling import tell_piece

SELDOM = 1e-3
"""A chance below this, or above its complement, is not told in figures."""
N_PER_KN = 1000.0
HEAVY_N = 10_000.0
"""Above this force a piece is rather warmed than pressed. Source: common practice, what a bench press gives with ease."""


def tell_pair(words: Words, build: Build, answer: FitAnswer) -> str:
    """Name what sits in what."""
    bore, journal = (
        tell_piece(words, build, face.piece) for face in (answer.fit.bore, answer.fit.journal)
    )
    return words.say("fits.pair", bore=bore, journal=journal)


def tell_size(words: Words, answer: FitAnswer) -> str:
    """Tell size and classes of a fit; where there is no class, the deviations."""
    return words.say(
        "fits.size",
        size=_tell_size(words, answer.fit.size_mm),
        bore=_tell_class(words, answer.bore),
        journal=_tell_class(words, answer.journal),
    )


def _tell_size(words: Words, size_mm: float) -> str:
    digits = next(n for n in range(5) if abs(round(size_mm, n) - size_mm) < 1e-6 or n == 4)
    return words.number(size_mm, digits)


def _tell_class(words: Words, side: Side) -> str:
    if side.tolerance_class:
        return side.tolerance_class
    lower, upper = side.limits_um
    return words.say("fits.own-limits", upper=_sign(words, upper), lower=_sign(words, lower))


def _sign(words: Words, um: float) -> str:
    """Write a deviation in um with its sign; nought has none."""
    shown = words.number(abs(um), 0 if um == round(um) else 1)
    return shown if um == 0 else f"{'+' if um > 0 else '−'}{shown}"


def _um(words: Words, um: float) -> str:
    return words.number(abs(um), 0)


def tell_between(words: Words, between: Fit) -> str:
    """Tell what lies between bore and journal, from the least to the most."""
    low, high = between.least_um, between.most_um
    if between.kind is FitKind.CLEARANCE:
        return words.say("fits.loose", least=_um(words, low), most=_um(words, high))
    if between.kind is FitKind.INTERFERENCE:
        return words.say("fits.tight", least=_um(words, high), most=_um(words, low))
    return words.say("fits.either", tight=_um(words, low), loose=_um(words, high))


def tell_chance(words: Words, between: Fit, chance: float) -> str:
    """Tell how often the fit is tight: only a transition fit may be either."""
    if between.kind is FitKind.CLEARANCE:
        return words.say("fits.never")
    if between.kind is FitKind.INTERFERENCE:
        return words.say("fits.always")
    return _tell_share(words, chance)


def _tell_share(words: Words, chance: float) -> str:
    if chance < SELDOM:
        return words.say("fits.seldom")
    if chance > 1.0 - SELDOM:
        return words.say("fits.mostly")
    return words.say("fits.share", percent=words.number(100.0 * chance, 0 if chance > 0.1 else 1))


def tell_consequences(words: Words, answer: FitAnswer) -> list[str]:
    """Tell in a few lines what follows from a tight fit; none when it is loose."""
    if answer.mounted is not None:
        return _tell_mounted(words, answer.mounted)
    if answer.pressed is None:
        return []
    pressed, told = answer.pressed, [_tell_force(words, answer.pressed)]
    if pressed.hoop_mpa > pressed.strength_mpa:
        told.append(_tell_stress(words, pressed))
    if pressed.force_n[1] > HEAVY_N:
        told.append(words.say("fits.warm", temperature=_whole(words, pressed.warm_outer_c)))
    return told + _tell_closing(words, pressed)


def tell_fit(words: Words, build: Build, answer: FitAnswer) -> list[str]:
    """Tell one fit in full, line by line."""
    between = answer.between
    now = "fits.likely-loose" if answer.likely_um >= 0.0 else "fits.likely-tight"
    lines = [
        f"{tell_pair(words, build, answer)}: {tell_size(words, answer)}",
        _tell_side(words, build, answer.bore),
        _tell_side(words, build, answer.journal),
        words.say(
            "fits.between",
            between=tell_between(words, between),
            likely=words.say(now, value=_um(words, answer.likely_um)),
            kind=words.say(f"fits.kind-{between.kind.value}"),
        ),
    ]
    if between.kind is FitKind.TRANSITION:
        lines.append(words.say("fits.chance", chance=tell_chance(words, between, answer.chance)))
    if answer.pressed is not None:
        lines += _tell_pressed(words, answer.pressed, is_bearing=answer.mounted is not None)
    elif between.least_um < 0.0:
        lines.append(words.say("fits.unknown-walls"))
    if answer.mounted is not None:
        lines += _tell_mounted(words, answer.mounted)
    for side in (answer.bore, answer.journal):
        source, piece = (
            build.dimension(side.face.term).source,
            tell_piece(words, build, side.face.piece),
        )
        lines.append(words.say("fits.source", piece=piece, source=source))
    return lines


def _tell_side(words: Words, build: Build, side: Side) -> str:
    lower, upper = side.limits_um
    limits = {"upper": _sign(words, upper), "lower": _sign(words, lower)}
    told = words.say("fits.own-limits", **limits)
    if side.tolerance_class:
        told = words.say("fits.class", name=side.tolerance_class, **limits)
    fields = {
        "piece": tell_piece(words, build, side.face.piece),
        "face": side.face.face,
        "limits": told,
    }
    nominal = _tell_size(words, side.nominal_mm)
    if side.measured_mm is None:
        return words.say("fits.side", size=nominal, **fields)
    measured = words.number(side.measured_mm, 3)
    return words.say("fits.side-measured", size=measured, nominal=nominal, **fields)


def _tell_pressed(words: Words, pressed: Pressed, *, is_bearing: bool) -> list[str]:
    told = [
        _tell_force(words, pressed),
        _tell_stress(words, pressed),
        *_tell_closing(words, pressed),
    ]
    if pressed.growth_um[1] > 0.5:
        least, most = (_um(words, um) for um in pressed.growth_um)
        told.append(words.say("fits.growth", least=least, most=most))
    if not is_bearing:
        told.append(words.say("fits.warm", temperature=_whole(words, pressed.warm_outer_c)))
    return told


def _tell_force(words: Words, pressed: Pressed) -> str:
    least, most = (words.number(force / N_PER_KN, 1) for force in pressed.force_n)
    slips = [words.number(torque, 0) for torque in pressed.torque_nm]
    return words.say(
        "fits.force",
        least=least,
        most=most,
        friction=words.number(FRICTION, 2),
        slip_least=slips[0],
        slip_most=slips[1],
    )


def _tell_stress(words: Words, pressed: Pressed) -> str:
    too_much = pressed.hoop_mpa > pressed.strength_mpa
    least, most = (words.number(pressure, 1) for pressure in pressed.pressure_mpa)
    return words.say(
        "fits.stress-too-much" if too_much else "fits.stress",
        least=least,
        most=most,
        hoop=_whole(words, pressed.hoop_mpa),
        strength=_whole(words, pressed.strength_mpa),
    )


def _tell_closing(words: Words, pressed: Pressed) -> list[str]:
    if pressed.closing_um[1] <= 0.0:
        return []
    least, most = (_um(words, um) for um in pressed.closing_um)
    return [words.say("fits.closing", least=least, most=most)]


def _tell_mounted(words: Words, mounted: Mounted) -> list[str]:
    heating = mounted.heating
    told = [
        words.say(
            f"fits.heat-{heating.warmth.value}",
            temperature=_whole(words, heating.temperature_c),
            aim=_whole(words, heating.aim_c),
            most=_whole(words, heating.most_c),
            sealed=_whole(words, MOST_SEALED_C),
        )
    ]
    cold, warm = mounted.at_rest, mounted.warm
    if cold is None or warm is None:
        return [*told, words.say("fits.residual-unknown")]
    warmer = _whole(words, WARM_K)
    told.append(words.say("fits.residual", **_write_residual(words, cold)))
    told.append(words.say("fits.residual-warm", warmer=warmer, **_write_residual(words, warm)))
    if mounted.may_run_tight:
        told.append(words.say("fits.residual-tight"))
    return told


def _write_residual(words: Words, left: Residual) -> dict[str, str]:
    return {
        "least": _whole(words, left.least_um),
        "likely": _whole(words, left.likely_um),
        "most": _whole(words, left.most_um),
        "chance": _tell_share(words, left.chance_tight),
    }


def _whole(words: Words, value: float) -> str:
    """Write a whole number, a minus before what is below nought."""
    shown = words.number(abs(value), 0)
    return f"−{shown}" if round(value) < 0 else shown


def tell_free_fit(words: Words, found: FreeFit) -> str:
    """Tell a fit by itself: its limits, and what lies between them."""
    size = found.hole.size_mm
    lines = [
        words.say("fits.free", size=_tell_size(words, size), hole=found.hole.name, shaft=found.shaft.name),
        _tell_limits(words, "fits.free-hole", found.hole),
        _tell_limits(words, "fits.free-shaft", found.shaft),
        words.say(
            "fits.free-between",
            between=tell_between(words, found.between),
            kind=words.say(f"fits.kind-{found.between.kind.value}"),
        ),
    ]  # fmt: skip
    if found.between.kind is FitKind.TRANSITION:
        lines.append(words.say("fits.chance", chance=tell_chance(words, found.between, found.chance)))  # fmt: skip
    return "\n  ".join(lines)


def _tell_limits(words: Words, key: str, limits: Limits) -> str:
    least, most = (
        words.number(limits.size_mm + um / UM_PER_MM, 3)
        for um in (limits.lower_um, limits.upper_um)
    )
    return words.say(
        key,
        name=limits.name,
        upper=_sign(words, limits.upper_um),
        lower=_sign(words, limits.lower_um),
        least=least,
        most=most,
    )
