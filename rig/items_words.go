package rig

import (
	"slices"
	"strings"
)

// Words that tables of shops and clubs use for our columns and kinds, English and German. All lower case.

// columnWords are other names of columns, as headers have them.
var columnWords = map[string][]string{
	colItem:           {"id", "item no", "item number", "part no", "part number", "article", "article no", "sku", "no", "nr", "artikel", "artikelnummer", "artikel nr", "bestellnummer"},
	colKind:           {"type", "category", "group", "art", "typ", "kategorie", "gruppe", "warengruppe"},
	colTitle:          {"name", "description", "designation", "label", "product", "bezeichnung", "beschreibung", "benennung", "artikelbezeichnung", "produkt", "titel"},
	colMass:           {"weight", "gewicht", "masse"},
	colWeighed:        {"measured", "gewogen"},
	colPrice:          {"unit price", "cost", "preis", "einzelpreis", "stückpreis", "stueckpreis"},
	colCurrency:       {"währung", "waehrung"},
	"have":            {"stock", "in stock", "on hand", "quantity", "qty", "bestand", "lagerbestand", "menge", "anzahl", "vorrat"},
	"from":            {"source", "supplier", "vendor", "shop", "where from", "lieferant", "händler", "haendler", "quelle", "bezugsquelle"},
	"material":        {"werkstoff"},
	"notes":           {"note", "remark", "remarks", "comment", "comments", "notiz", "notizen", "bemerkung", "bemerkungen", "kommentar", "anmerkung"},
	colSize:           {"dimensions", "dimension", "abmessung", "abmessungen", "größe", "groesse", "maße", "masze"},
	"thread":          {"gewinde"},
	"length":          {"long", "länge", "laenge"},
	"head":            {"head type", "kopf", "kopfform"},
	"diameter":        {"dia", "ø", "durchmesser"},
	"bore":            {"inside diameter", "inner diameter", "bohrung", "innendurchmesser"},
	"outer":           {"outside diameter", "outer diameter", "od", "außendurchmesser", "aussendurchmesser"},
	"width":           {"breite"},
	"teeth":           {"tooth count", "number of teeth", "zähne", "zaehne", "zähnezahl", "zaehnezahl"},
	"module":          {"mod", "modul"},
	"diametral pitch": {"dp", "pitch"},
	"pressure angle":  {"eingriffswinkel"},
	"face":            {"face width", "zahnbreite"},
	"rate":            {"spring rate", "federrate"},
	"free":            {"free length"},
	"solid":           {"solid length", "blocklänge", "blocklaenge"},
	"open":            {"open length"},
	"closed":          {"closed length"},
	"plug":            {"connector", "stecker"},
	"cells":           {"cell count", "zellen", "zellenzahl"},
	"capacity":        {"kapazität", "kapazitaet"},
	"chemistry":       {"chemie"},
	"torque":          {"drehmoment", "stellkraft"},
	"voltage":         {"spannung"},
	"seconds per 60":  {"speed", "stellzeit"},
	"hex":             {"wheel hex", "sechskant", "mitnehmer"},
	"bolt circle":     {"lochkreis"},
	"swing":           {"schwenkwinkel"},
	"resistance":      {"innenwiderstand", "widerstand"},
	"max current":     {"maximum current", "dauerstrom"},
	"max voltage":     {"maximum voltage"},
}

// kindWords are other words for kinds of part.
var kindWords = map[string]string{
	"bolt": "screw", "machine screw": "screw", "cap screw": "screw", "grub screw": "screw", "set screw": "screw", "schraube": "screw", "schrauben": "screw", "madenschraube": "screw",
	"mutter": "nut", "muttern": "nut", "lock nut": "nut", "stoppmutter": "nut", "scheibe": "washer", "scheiben": "washer", "unterlegscheibe": "washer", "shim": "washer",
	"ball bearing": "bearing", "kugellager": "bearing", "lager": "bearing", "dowel": "pin", "dowel pin": "pin", "stift": "pin", "stifte": "pin", "zylinderstift": "pin",
	"pinion": "gear", "spur": "gear", "spur gear": "gear", "ritzel": "gear", "zahnrad": "gear", "zahnräder": "gear", "hauptzahnrad": "gear",
	"tire": "tyre", "reifen": "tyre", "felge": "wheel", "rim": "wheel", "feder": "spring", "federn": "spring", "damper": "shock", "shock absorber": "shock", "dämpfer": "shock", "stoßdämpfer": "shock",
	"pack": "battery", "battery pack": "battery", "akku": "battery", "akkus": "battery", "speed controller": "controller", "esc": "controller", "regler": "controller", "fahrtenregler": "controller",
	"ball joint": "rod end", "ball end": "rod end", "kugelkopf": "rod end", "gelenkkopf": "rod end", "link": "rod", "tube": "rod", "stange": "rod", "rohr": "rod",
	"drive shaft": "shaft", "antriebswelle": "shaft", "kardanwelle": "shaft", "distanz": "spacer", "distanzhülse": "spacer", "standoff": "spacer",
	"motoren": "motor", "servos": "servo", "empfänger": "receiver", "stecker": "plug", "connector": "plug", "achse": "axle", "getriebe": "gearbox", "sonstiges": "other",
}

// headWords are other words for the heads of screws, the standards that fix them included.
var headWords = map[string]string{
	"socket head": "socket", "cap": "socket", "zylinderkopf": "socket", "innensechskant": "socket", "iso 4762": "socket", "din 912": "socket",
	"button head": "button", "linsenkopf": "button", "iso 7380": "button", "iso 7380-1": "button",
	"flat head": "countersunk", "flat": "countersunk", "senkkopf": "countersunk", "iso 10642": "countersunk", "din 7991": "countersunk",
	"grub": "set", "set screw": "set", "grub screw": "set", "madenschraube": "set", "gewindestift": "set", "iso 4026": "set", "din 913": "set",
	"hexagon": "hex", "hexagon head": "hex", "sechskant": "hex", "iso 4017": "hex", "din 933": "hex",
}

// truths are the words of a cell that says yes or no.
var truths = map[string]string{
	"yes": "true", "y": "true", "true": "true", "1": "true", "x": "true", "ja": "true", "j": "true",
	"no": "false", "n": "false", "false": "false", "0": "false", "nein": "false", "-": "false",
}

// kindOf reads a cell of the column kind: our word, another word for it, or the plural of one; what is none of them stays as it is.
func (cs *itemColumns) kindOf(text string) string {
	word := plainWords(text)
	for range 2 {
		if slices.Contains(cs.kinds, word) {
			return word
		}
		if kind := kindWords[word]; kind != "" {
			return kind
		}
		word = strings.TrimSuffix(word, "s")
	}
	return strings.TrimSpace(text)
}

// plainWords is a text in lower case with single spaces between its words.
func plainWords(text string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(strings.ToLower(text), "_", " ")), " ")
}

// currencies are the signs that stand for one currency only; "$" stands for several.
var currencies = map[string]string{"€": "EUR", "£": "GBP", "¥": "JPY", "zł": "PLN", "kč": "CZK"}

// currencyOf reads a currency: its code of ISO 4217, in capitals or not, or its sign. The code of "$" is empty.
func currencyOf(text string) (code string, ok bool) {
	text = strings.TrimSpace(text)
	if text == "$" {
		return "", true
	}
	if code := currencies[strings.ToLower(text)]; code != "" {
		return code, true
	}
	up := strings.ToUpper(text)
	return up, isCurrency(up)
}
