package rig

import (
	"regexp"
	"strings"

	"lowslung/quantity"
)

// Numbers as tables write them: decimal commas, spaces, points or apostrophes between thousands, a currency before or behind. What may be
// read in two ways is refused.

var (
	number     = regexp.MustCompile(`^([+-]?)([0-9][0-9.,' ]*|[.,][0-9]+)(.*)$`)
	thousands  = regexp.MustCompile(`^[1-9][0-9]{0,2}([.,' ][0-9]{3})+$`)
	threeBelow = regexp.MustCompile(`^[1-9][0-9]{0,2}[.,][0-9]{3}$`)
)

// unspaced turns the many spaces and dashes of typesetters into plain ones.
var unspaced = strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2009", " ", "−", "-", "’", "'")

// decimals rewrites the number at the beginning of a cell with a decimal point and nothing between thousands. Bad says why it can be
// read in two ways; what is no number at all stays as it is, and the decoder says so.
func decimals(text string, comma rune, money bool) (out, bad string) {
	if isDigits(text) {
		return text, ""
	}
	text = unspaced.Replace(text)
	m := number.FindStringSubmatch(text)
	if m == nil {
		return text, ""
	}
	body := strings.TrimRight(m[2], " ")
	tail := strings.TrimSpace(m[3])
	points, commas := strings.Count(body, "."), strings.Count(body, ",")
	switch {
	case points > 0 && commas > 0:
		last, other := ".", ","
		if strings.LastIndexByte(body, ',') > strings.LastIndexByte(body, '.') {
			last, other = ",", "."
		}
		whole, rest, _ := strings.Cut(body, last)
		if strings.Contains(rest, other) || strings.Contains(rest, last) || !thousands.MatchString(whole) {
			return text, ""
		}
		body = bare(whole) + "." + rest
	case commas == 1 && (comma == ',' || money) && threeBelow.MatchString(body), points == 1 && money && threeBelow.MatchString(body):
		point := strings.Replace(body, ",", ".", 1)
		return text, "which may be " + point + " or " + bare(body) + ", expected a number that reads one way only; write " + point + "0 or " + bare(body)
	case commas == 1:
		body = strings.Replace(body, ",", ".", 1)
		if whole, rest, _ := strings.Cut(body, "."); strings.ContainsAny(whole, "' ") && thousands.MatchString(whole) {
			body = bare(whole) + "." + rest
		}
	case points+commas > 1 && thousands.MatchString(body):
		body = bare(body)
	case strings.ContainsAny(body, "' "):
		whole, rest, fraction := strings.Cut(body, ".")
		if !thousands.MatchString(whole) {
			break
		}
		if body = bare(whole); fraction {
			body += "." + rest
		}
	}
	if strings.HasPrefix(body, ".") {
		body = "0" + body
	}
	if m[1] == "-" {
		body = "-" + body
	}
	if tail != "" {
		body += " " + tail
	}
	return body, ""
}

// isDigits is the quick way for what most cells are.
func isDigits(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return s != ""
}

// bare is a number without what stands between its thousands.
func bare(s string) string { return strings.NewReplacer(".", "", ",", "", "'", "", " ", "").Replace(s) }

// price takes a cell apart into the number and the currency that stands before or behind it.
func price(text string) (number, currency string) {
	text = strings.TrimSpace(unspaced.Replace(text))
	for i, r := range text {
		if r >= '0' && r <= '9' || r == '-' || r == '+' || r == '.' || r == ',' {
			if code, ok := currencyOf(text[:i]); i > 0 && ok {
				return strings.TrimSpace(text[i:]), code
			}
			break
		}
	}
	end := strings.LastIndexFunc(text, func(r rune) bool { return r >= '0' && r <= '9' || r == '.' || r == ',' || r == '-' })
	if tail := text[end+1:]; end >= 0 && strings.TrimSpace(tail) != "" {
		if code, ok := currencyOf(tail); ok {
			text, currency = strings.TrimSpace(text[:end+1]), code
		}
	}
	for _, dash := range []string{",-", ".-"} { // 12,- is 12
		text = strings.TrimSuffix(text, dash)
	}
	return text, currency
}

// sizeParts takes "M3 × 12", "5x11x4 mm" or "2*10" apart.
func sizeParts(text string, comma rune) []string {
	text = strings.TrimSuffix(strings.TrimSpace(unspaced.Replace(text)), "mm")
	parts := strings.FieldsFunc(text, func(r rune) bool { return r == 'x' || r == 'X' || r == '×' || r == '*' })
	for i, p := range parts {
		p = strings.TrimSuffix(strings.TrimSpace(p), "mm")
		letter := ""
		if strings.HasPrefix(p, "M") || strings.HasPrefix(p, "m") {
			letter, p = "M", p[1:]
		}
		p, _ = decimals(strings.TrimSpace(p), comma, false)
		parts[i] = letter + p
	}
	return parts
}

// unitOf finds a unit of the dimension as people write it, in capitals too, and gives its usual symbol.
func unitOf(d *quantity.Dimension, symbol string) (string, bool) {
	for _, s := range []string{symbol, strings.ToLower(symbol)} {
		if u, ok := d.Unit(s); ok && s != "" {
			return u.Symbol, true
		}
	}
	for _, u := range d.Units {
		if strings.EqualFold(u.Symbol, symbol) && symbol != "" {
			return u.Symbol, true
		}
	}
	return "", false
}

// itemUnits are the dimensions whose units stand at the end of headers.
func itemUnits() []*quantity.Dimension {
	return []*quantity.Dimension{quantity.Length(0).Dimension(), quantity.Mass(0).Dimension(), quantity.Angle(0).Dimension(), quantity.Rate(0).Dimension(),
		quantity.Torque(0).Dimension(), quantity.Voltage(0).Dimension(), quantity.Current(0).Dimension(), quantity.Resistance(0).Dimension(),
		quantity.Charge(0).Dimension(), quantity.Kv(0).Dimension(), quantity.Viscosity(0).Dimension()}
}

// knownCurrency tells currencies from other words of three letters at the end of a header.
func knownCurrency(code string) bool {
	return strings.Contains(" EUR USD GBP CHF SEK NOK DKK PLN CZK HUF RON JPY CNY AUD CAD NZD INR BRL MXN TRY KRW ", " "+code+" ")
}
