"""The words of the field as people say them, in English and German: which of them mean the same.

Each entry is written in plain letters, as `jounce.asked.wording.plain` leaves them. A star stands for any end of a word,
a tilde before a pattern that is taken as it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache

__all__ = ["CONCEPTS", "concepts_in", "found_in"]

CONCEPTS: Mapping[str, str] = {
    # Parts
    "torsion-bar": "torsions / tbar* / t bar* / drehfeder* / torsion bar* / torsionbar* / "
    "torsion spring* / front bar* / drehstab / drehstaeb* / drehstabfeder* / "
    "torsionsstab* / torsionsstaeb* / torsionsfeder* / vordere* staeb* / staebe vorn* / staeben vorn* / #* "
    "bars / #* er staeb* / staebe / staeben / ~(?<!roll )(?<!sway )(?<!stabilizer )(?<!stabiliser )bars / "
    "stock bar / standard bar / # er staeb*",
    "roll-bar": "anti roll bar* / antiroll bar* / antirollbar* / roll bar* / rollbar* / sway bar* / swaybar* / anti sway*"
    " / arb / arbs / stabi / stabis / stabili* / rohrstabi* / querstabi* / drehstabilisator* / rear bar / "
    "second bar / drop link* / koppelstange*",
    "panhard": "panhard* / pan hard* / panard* / cross rod* / lateral rod / rear track bar / watt* link* / wattgestaenge"
    " / querstange* / track rod across*",
    "spring": "spring* / coil / coils / feder / federn / schraubenfeder* / tieferlegungsfeder*",
    "helper": "helper* / tender* / vorspannfeder* / helferfeder* / zusatzfeder*",
    "damper": "serienstoss* / "
    "damper* / shock / shocks / shock absorber* / shockabsorber* / shocker* / daempfer* / stossdaempfer* / "
    "seriendaempfer* / strut insert* / federbein*",
    "damping": "damped / gedaempft / damping / "
    "underdamp* / overdamp* / rebound / revalv* / valv* / click / clicks / clicker* / knob / knobs "
    "/ klick* / zugstufe / druckstufe / daempfung* / ventilierung / kennung / kennlinie / compression",
    "coil-over": "coilover* / coil over* / gewindefahrwerk* / gewindefederbein* / schraubfahrwerk* / air ride / airride / "
    "air suspension / bagged / air bags / luftfahrwerk* / luftfederung",
    "tie-rod": "tie rod* / track rod end* / track rods / spurstange* / steering arm* / steering rack / rack height / "
    "lenkgetriebe / lenkhebel / spurstangenk*",
    "rubber": "bump stop* / bumpstop* / bump rubber* / rubber stop* / rubbers / anschlagpuffer / puffer / endanschlag /"
    " gummipuffer / federwegbegrenzer / stops",
    "bush": "bush / bushes / bushing* / polybush* / poly* bush* / polyurethane / urethane / nylon / buchse* / pu "
    "buchse* / gummilager* / silentblo* / rose joint* / uniball* / elastokinemati* / compliance / "
    "nachgiebigkeit",
    "wheel": "wheel* / rim / rims / rad / raeder / felge* / alloys / steelies",
    "offset": "et / et #* / offset / offsets / spacer / spacers / wheel spacer* / spurplatte* / spurverbreiter* / "
    "distanzscheibe* / einpresstiefe / scrub radius / lenkrollradius / backspacing / dish / dished / wider "
    "track / breitere spur / poke",
    "tyre": "tyre* / tire / tires / reifen / rubber on the rim / hinterreifen / vorderreifen",
    "arch": "arch / arches / wheel arch* / wing / wings / fender* / liner / lip / radhaus / radlauf / radkasten / "
    "kotfluegel / innenkotfluegel / bodywork",
    "plate": "camber plate* / top mount* / top plate* / strut top / domlager / sturzplatte*",
    # What is done, and what is seen
    "lower": "lower* / drop / dropped / dropping / tiefer* / tieferleg* / tiefergelegt / absenk* / abgesenkt / runter "
    "/ down / slam* / minus #* / deep / tief",
    "raise": "raise* / lift it / jack it up / hoeher* / anheben / hochlegen / higher / hoch",
    "height": "height / ride height / hoehe / fahrhoehe",
    "utmost": "how low / lowest / maximum / at most / furthest / as low as / limit* / wie tief / so tief wie / maximal*"
    " / niedrigste / tiefste / hoechstens / slammed",
    "tooth": "tooth / teeth / spline* / notch* / serration* / zahn / zaehne / zaehnen / verzahnung / kerbe* / kerben /"
    " index* / reindex*",
    "turn-of-it": "turn of / turns of / one turn / full turn / half turn / quarter turn / per turn / umdrehung* / halbe "
    "umdrehung / je umdrehung / per millimet* / one tooth / ein zahn / one flat",
    "travel": "travel / bump left / federweg / einfederweg / restfederweg / ausfedern / einfedern",
    "droop": "droop / full droop / rebound / hang / hangs / hanging / ausgefedert / haengt / haengend* / jacked up / "
    "jack it up / on the lift / buehne / on the hoist / on a ramp / on stands / aufbocken / aufgebockt / "
    "hebebuehne / full extension",
    "loose": "loose / slack / rattle* / falls out / fall out / fell out / seated / unseat* / captive / seat / lose / "
    "locker / klapper* / scheppern / drops out / sitz",
    "rub": "rub / rubs / rubbing / scrub* / scrape* / touch / touches / touching / catch / catches / foul / fouls / "
    "clear / clears / clearance / schleif* / streif* / beruehrt / anstoss* / freigaengig* / scuff*",
    "ground": "ground clearance / speed bump* / speed hump* / driveway / kerb / sump / belly / bodenfreiheit / "
    "bremsschwelle* / bodenschwelle* / tiefgarage / aufsetz* / setzt auf / oelwanne / rampe / ramp / ramps / "
    "exhaust scrapes",
    "bottom": "bottom / bottoms / bottomed / bottoming / bangs / crashes / schlaegt durch / durchschlag* / schlaegt auf"
    " / auf anschlag",
    "one-side": "one side / one sided / other side / nearside / offside / passenger side / driver side / drivers side / "
    "einer seite / eine seite / fahrerseite / beifahrerseite / off centre / off center / aussermittig / "
    "central / centred / mittig / seitlich / sideways",
    "crooked": "sit to one side / sits to one side / sit level / sit even / crooked / lopsided / wonky / uneven / leans "
    "/ lean to / tilt / tilts / lists / pulls / pull to / drifts / schief / krumm / haengt / schraeg / zieht "
    "/ one corner / eine ecke / level / sits to",
    "left-right": "left turn* / right turn* / left hand* / right hand* / left corner* / right corner* / lefts / rights / "
    "linkskurve* / rechtskurve* / links herum / rechts herum / one way / each way / both directions / one "
    "direction / eine richtung / anticlockwise / clockwise / linksherum / rechtsherum / left bend* / right "
    "bend*",
    "corner": "corner / corners / cornering / bend / bends / hairpin* / roundabout* / kurve* / kehre* / kreisverkehr / "
    "kurveninner* / turn in",
    "inside": "inside wheel / inside rear / inner wheel / inner rear / inside front / inside back / inner back / innere"
    " rad / inneres rad / kurveninner* / inneres hinterrad / innere hinterrad / inneres vorderrad",
    "wheel-up": "lifts a wheel / wheel lift* / wheel off / lifts a / cocks / cocking / three wheel* / tripod* / off the "
    "ground / in the air / leaves the road / leg / in der luft / hebt / hebt ab / abheben / drei raedern / "
    "bein / abhebt / pick up / picks up / three wheels",
    "roll": "roll / rolls / rolling / body roll / lean / leans / leaning / wallow* / wanken / wankt / wank* / neigung"
    " / seitenneigung / neigt / kurvenneigung / roll gradient / heel*",
    "slide": "understeer* / oversteer* / tail happy / loose tail / slide / slides / push / pushes / spin / spins / "
    "balance / neutral / untersteuer* / uebersteuer* / schiebt / heck kommt / heck bricht / ausbricht / "
    "rutscht / plough* / washes / steps out / grip",
    "wet": "wet / rain / snow / slippery / nass / naesse / regen / schnee / ice / glatt*",
    "dart": "bump steer* / bumpsteer* / dart / darts / twitch* / wander* / nervous / nervoes* / tramlin* / follows / "
    "spuraenderung / spurrille* / bodenwelle* / skittish / steers itself / lenkt von selbst / eigenlenk* / "
    "selfsteer* / pothole* / schlagloch*",
    "camber": "camber* / sturz* / negativsturz",
    "toe": "toe / toein / toe in / toe out / tracking / spur / vorspur / nachspur / spureinstellung / alignment / "
    "achsvermessung / vermessung / caster / castor / nachlauf",
    "wear": "wear / worn / wears / bald / eat / eats / eating / chew* / abgefahren / verschleiss* / reifenverschleiss"
    " / laeuft ab / innen ab / frisst / inner edge / inside edge / innenkante",
    "comfort": "comfort* / harsh* / ride quality / bumpy / stiff / firm / hard / smooth / choppy / jarring / bequem / "
    "komfort* / fahrkomfort / hart / straff / holprig / bretthart / alltag* / daily / every day / everyday / "
    "ruecken / kopfstein* / cobble* / pflaster*",
    "rate": "rate / rates / stiffness / stiffer / stiff* / n mm / poundage / federrate / rate am rad / haerter / "
    "steif* / federhaerte / rating",
    "frequency": "hz / hertz / frequency / frequenz / eigenfrequenz",
    "legal": "legal / legally / law / lawful / mot / inspection / inspector / approval / approved / certificate / "
    "certified / registered / allowed / permitted / tuev / pruefer / pruefung / erlaubt / eintragen / "
    "eingetragen / eintragung / gutachten / teilegutachten / zulaessig / zugelassen / abnahme / "
    "hauptuntersuchung / vorschrift* / gesetz / police / cops / polizei / papers / paperwork / roadworthy / "
    "darf / duerfen / betriebserlaubnis / abe / permit / verboten / insurance / engineer / scrutineer* / fail"
    " / pickerl / mfk / documents",
    "price": "price / prices / cost / costs / quote / quotation / estimate / expensive / how much money / preis / "
    "preise / kostet / kosten / angebot / kostenvoranschlag / teuer / charge / invoice / bill / euro / euros "
    "/ quid / ballpark",
    "first": "first / before / priority / order of / budget / start with / begin with / zuerst / als erstes / "
    "reihenfolge / anfangen / beginnen / worth / fuers geld / for the money / value / bang / matters more / "
    "step",
    "load": "zentner / stone / hundredweight / cwt / ladeflaeche / load bed / sack / sacks / sand / cement / zement / "
    "people / passenger* / luggage / loaded / load / boot / trailer / caravan / seats / engine swap / heavier"
    " / lighter / kg / kilo / kilos / personen / leute* / gepaeck / beladen / kofferraum / anhaenger / "
    "zuladung / schwerer / leichter / weight / gewicht / adults / mitfahrer* / rueckbank / wiegt / weighs / "
    "family / roof rack / tow bar / kids",
    "scales": "scales / corner weight* / cross weight / wedge / radlast* / waage / kreuzgewicht / axle load* / "
    "achslast* / corner load*",
    "settled": "settle / settled / settles / settling / sag / sagged / sagging / bedding in / break in / 500 km / "
    "recheck / setzen / gesetzt / sackt / zusammengesackt / nachkontrolle / nachuntersuch* / tired / muede / "
    "weeks / month / monat / wochen / follow up / after the first",
    "measure": "measure* / reading / readings / tape / measured / messen / messung* / gemessen / messwert* / massband / "
    "nachmess*",
    "bounce": "bounce / bounces / bounced / bouncing / bounce test / wippen / wipptest / gewippt / wippt / nachschwing*"
    " / schwing* / rocking",
    "noise": "noise / clonk* / clunk* / knock* / squeak* / creak* / klack* / klapper* / poltern / knack* / quietsch* /"
    " knarz* / geraeusch* / rumpel* / vibrat* / vibriert / shimmy / wobble / flattert / clack / leaking",
    "brake": "brake* / braking / dive / dives / bremsen / bremst / bremsnicken / brems* / lock up / locks up / squat /"
    " accelerat* / nose dive / antidive / nickt / nicken / anfahren / eintauch* / traction / traktion",
    "lamp": "headlight* / headlamp* / lamps / scheinwerfer* / leuchtweite / brake hose* / bremsschlauch* / "
    "bremsschlaeuch* / drive shaft* / driveshaft* / cv joint* / antriebswelle* / manschette* / side effect* /"
    " nebenwirkung*",
    "adjust": "adjust* / setting* / einstell* / verstell* / versteller / adjuster* / drehen / verdrehen / turn / turns",
    "force": "force / forces / kraft / kraefte / belast* / joint load* / reaction*",
    "curve": "curve / curves / kurven ueber / verlauf / kinematik* / geometry / plot / show me / zeig",
    "wire": "wire / turns of wire / windung* / draht* / coils of / free length / coil bind / block* / cut* spring* / "
    "cut * coil",
    "keep": "keep / stay / leave / reuse / original / standard / stock / factory / behalten / drinlassen / drin / "
    "serie* / oem / still ok",
    "adjustable": "adjustable / verstellbar* / einstellbar*",
    # What it costs, what comes first, what is known
    "money": "discount / rabatt / billig* / cheaper / cheapest / gesamtpreis / grand / dear / pay / zahlen / "
    "mehrwertsteuer / vat / labour / hourly / stundensatz / ratenzahlung / instalments / owe / schuldig / "
    "afford / spend / money / geld / pounds / under ### / deposit / teilepreis / arbeitskosten / einbau",
    "one-thing": "one thing / only one / single / most for / brings the most / bringt am meisten / bringt mehr / biggest / "
    "order / list / stage* / etappe* / later / can wait / warten / nur ein / wichtiger / sinnvoll* / lohnt / "
    "first thing / begin / beginner / anfaenger / worthwhile / best value / helps most / helps more / makes "
    "more sense",
    "as-it-is": "now / right now / current* / today / todays / at the moment / at present / present / baseline / as it "
    "stands / as it is / jetzt / heute / momentan* / aktuell* / derzeit / ist zustand / ausgangswerte / "
    "figures / numbers / zahlen / summary / zusammenfassung / data / daten / datenblatt / grunddaten / state "
    "/ stand / zustand",
    "unsure": "missing / fehlt / fehlen / uncertain* / unsure / sure / surer / certain / unsicher* / genauer / genau / "
    "accura* / doubt / guess / assume* / raten / ratet / angenommen / unbekannt / unknown about / precise* / "
    "exact / error bars / band / baender / complete / vollstaendig / lacking / narrow* / next measurement / "
    "naechste messung",
    "model": "model / modell / match* / agree* / program / programm / calculat* / gerechnet / rechnung / predict* / "
    "fit the / my readings / my values / my measurements / my numbers / meine messungen / meine messwerte / "
    "messwert* / ablesung* / outlier / work backwards / zurueckrechnen / reality / wirklichkeit / really / "
    "wirklich / deduce / hidden",
    "error": "error / fehler / mistake / sensitiv* / empfindlich* / influence* / einfluss / matters / depends / haengt "
    "ab / pivot* / drehpunkt* / hard point* / pick up point* / pickup point* / anlenkpunkt* / lagerpunkt* / "
    "messpunkt* / inner joint / inner point / coordinate / koordinate / determines / decides / bestimmt / "
    "moves the / verschiebt / # mm out",
    "else": "else / sonst / besides / apart from / consequence* / folgen / knock on / catch with / haken / downside* "
    "/ drawback* / disadvantage* / nachteil* / vergesse / forgetting / afterwards / danach / after lowering / "
    "nach dem tieferlegen / affected / betroffen / checklist / look after / worauf achten / side effect* / "
    "nebenwirkung* / other things / zieht das nach",
    # What people feel, and where they drive
    "aboard": "camping / tent / zelt* / dog / dogs / hunde* / tools / werkzeug / interior / innenausstattung / bench / "
    "caravan / wohnwagen / haenger / roof / dach* / cage / kaefig / bike rack / hecktraeger / payload / "
    "engine swap / heavier engine / schwererer motor / motorumbau / seats out / ausgeraeumt / driver weighs / "
    "fahrer wiegt / everyone in / voll besetzt / erwachsene / mother in law / schwiegermutter / holiday / "
    "urlaub* / tank",
    "bearable": "wife / frau / mum / mutter / grandma / oma / granny / baby / father / coffee / kaffee / teeth / fillings "
    "/ sofa / plank / brett / boneshaker / long drive* / long trip* / langstrecke / journey* / bandscheiben / "
    "kidney / ruecken / moan* / sick / schlecht wird / seat / liveable / bearable / pleasant / angenehm / "
    "gemuetlich / unangenehm / jiggl* / kart / cart / go kart / supple / weich / soft / harsh* / civilised / "
    "drain cover* / kanaldeckel / every stone / jeden stein / hoppel* / every day / miles a day / am tag",
    "authority": "tester / test / testing station / pruefstelle / document* / unterlagen / papiere / regulation* / "
    "reglement / rules / regeln / fine / fined / strafe / trouble / aerger / homologat* / scrutin* / "
    "sachverstaendig* / authorit* / behoerde / forbidden / prohibited / public roads / club regulations / "
    "versicherung zahl* / insurer / cover / zulassung",
    "way-in": "drive / driveway / my drive / einfahrt / garage / garagen* / car park / parkhaus* / ferry / faehre / "
    "farm track / feldweg / wiese / grass / bordstein / randstein / kerbs / brick / hump / humps / sleeping "
    "policem* / schwelle / schwellen / beached / grounds / grounding / lowest point / tiefster punkt / "
    "tiefste punkt / spoiler / chin / lippe / daylight / frei / unten frei / touches down / boeschungswinkel "
    "/ approach angle",
    "shakes": "klonk* / groan* / rumble* / hum / hums / humming / drone / judder* / shake* / shakes / zittert / wackel* "
    "/ spiel / play in / leak* / weep* / oil on / broken / broke / snapped / gebrochen / gerissen / crack* / "
    "riss / torn / perished / poroes / split / rattl* / bang / bangs / tick* / whine / chirp* / sound* / "
    "klingt / brumm* / mahlt / aechz* / loose something / bearing / radlager",
    "tail": "tail / rear end / back end / heck / hintern / turn in / einlenken / gutmuetig / forgiving / overtake* / "
    "ueberhol* / winter / lift off / gaswegnehmen / lastwechsel / hedge / graben / nose first / drifts / "
    "washes / wide / nach aussen / dreht er sich / front end / let go / lets go / tail happy / pushy / loose",
    "each-wheel": "each corner / each wheel / jedes rad / jeder ecke / jede ecke / jede achse / on the front axle / "
    "auf der vorderachse / cross weights / distribution / verteilung / verteilt / nose heavy / kopflastig / percent / "
    "prozent / mass / masse / heavy is / schwer ist / four scales / vier waagen / diagonal* / wedge / fifty "
    "fifty",
    "goes-on": "carries on / keeps / twice / zweimal / times / mal / weiter / after a bump / after bumps / after a dip / "
    "nach einer senke / nach jeder kuppe / swings / schwinger / overshoot* / settle down / pogo* / float* / "
    "wallow* / schwimmt / wogt",
    "by-hand": "by hand / von hand / push* / pushed / press* / pressed / drueck* / gedrueckt / lean on / let go / "
    "loslassen / losgelassen / stopwatch / stoppuhr / counted / gezaehlt / seconds / sekunden / phone / "
    "handy* / recording / aufnahme / video / count / per second / jumped on",
    "strength": "bolt / bolts / schraube / weld* / schweiss* / bracket* / halter* / strong enough / strength / rod end* / "
    "gelenkkopf / newton* / kilos pull / hold / haelt / aushalten / withstand / endure / carry the / buckling "
    "/ knicken / mount / mounts / m## bolt / landing / sprung / jump",
    # Not the suspension's business
    "foreign": "engine oil / oil change / carb / carburet* / vergaser / gearbox / getriebe / clutch / kupplung / radio /"
    " stereo / paint / respray / lack* / farbe / colour / color / rust / rost / heater / heizung / battery "
    "flat / alternator / lichtmaschine / petrol / sprit / benzin / horsepower / ps / turbo / windscreen / "
    "scheibe / wiper* / weather / wetter / opening hours / oeffnungszeit* / appointment / termin / spark "
    "plug* / zuendkerze* / ignition / zuendung / timing belt / zahnriemen / exhaust note / auspuff* / mileage"
    " / consumption / verbrauch* / top speed / hoechstgeschwind* / air con* / klimaanlage / seat cover* / "
    "leather / leder* / tyre brand / reifendruck / tyre pressure / window / fenster / door / tuer / key / "
    "schluessel / hello / hallo / thank* / danke",
}
"""Words of each concept, slashes between them."""


@cache
def _patterns() -> Mapping[str, re.Pattern[str]]:
    def pattern(words: str) -> re.Pattern[str]:
        entries = sorted((entry.strip() for entry in words.split("/")), key=len, reverse=True)
        raw = [entry.removeprefix("~") for entry in entries if entry.startswith("~")]
        entries = [entry for entry in entries if not entry.startswith("~")]
        each = (re.escape(entry).replace(r"\*", "[a-z#]*").replace(r"\ ", " ").replace(r"\#", "#") for entry in entries)
        return re.compile(rf"(?<![a-z#])(?:{'|'.join([*raw, *each])})(?![a-z#])")

    return {name: pattern(words) for name, words in CONCEPTS.items()}


def found_in(name: str, text: str) -> Iterator[tuple[int, int]]:
    """Where the words of one concept stand.

    Args:
        name: the concept
        text: the plain text

    Returns:
        Start and end of each place.
    """
    return (found.span() for found in _patterns()[name].finditer(text))


def concepts_in(text: str) -> tuple[str, ...]:
    """The concepts that a text speaks of, in the order of the table.

    Args:
        text: the plain text

    >>> concepts_in("will the tyres rub")
    ('tyre', 'rub')
    """
    return tuple(name for name, pattern in _patterns().items() if pattern.search(text))
