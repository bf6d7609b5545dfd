package quantity

import (
	"math"
	"math/big"
	"strconv"
	"strings"
	"unicode"
)

// Money is an amount in a currency.
type Money struct {
	// Amount is at least zero, with at most two decimals.
	Amount float64
	// Currency is an ISO 4217 code such as "USD"; empty when none was given.
	Currency string
}

// currencies are the ISO 4217 codes of currencies in use (from memory).
const currencies = "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BRL BSD BTN BWP BYN BZD " +
	"CAD CDF CHF CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GNF GTQ GYD " +
	"HKD HNL HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD " +
	"MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG " +
	"QAR RON RSD RUB RWF SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS " +
	"UAH UGX USD UYU UZS VES VND VUV WST XAF XCD XOF XPF YER ZAR ZMW ZWG"

// dollars are the currencies whose code may stand beside a plain $.
const dollars = "AUD BBD BMD BND BSD BZD CAD FJD GYD HKD JMD KYD LRD NAD NZD SBD SGD SRD TTD TWD USD XCD"

// symbols are read longest first.
var symbols = []struct{ sign, currency string }{
	{"US$", "USD"}, {"CA$", "CAD"}, {"AU$", "AUD"}, {"NZ$", "NZD"}, {"HK$", "HKD"},
	{"A$", "AUD"}, {"C$", "CAD"}, {"S$", "SGD"}, {"R$", "BRL"},
	{"$", "USD"}, {"£", "GBP"}, {"€", "EUR"}, {"₹", "INR"}, {"₩", "KRW"},
}

const moneyHint = "for example 60USD"

// HighestAmount of Money is far above any bulb in any currency in use.
const HighestAmount = 1e9

// ParseMoney reads an amount with its currency: 60USD, "60 usd", $60, £45, €99.50.
// A plain $ means USD; A$, C$ and NZ$ are AUD, CAD and NZD, and "$60 CAD" is CAD. A
// bare number has no currency, and the caller decides. Negative amounts, commas,
// exponents, more than two decimals and unknown codes are an *Error.
func ParseMoney(text string) (Money, error) {
	fail := func(reason, hint string) (Money, error) {
		return Money{}, &Error{text, reason, hint}
	}
	rest := strings.TrimSpace(text)
	if len(text) > longest {
		return Money{}, &Error{text[:cut(text, longest)] + "…", "too long for an amount of money", moneyHint}
	}
	if strings.ContainsRune(rest, ',') {
		reason, hint := commaFault(rest)
		return fail(reason, hint)
	}
	if strings.ContainsRune(rest, '_') {
		return fail("an underscore is not part of a number", "write "+strings.ReplaceAll(rest, "_", ""))
	}
	if strings.HasPrefix(rest, "-") || strings.HasPrefix(rest, "−") {
		return fail("an amount of money cannot be negative", moneyHint)
	}
	start := strings.IndexFunc(rest, func(r rune) bool { return unicode.IsDigit(r) || r == '.' })
	if start < 0 {
		return fail("an amount is wanted", moneyHint)
	}
	before := strings.TrimSpace(rest[:start])
	length := digitsLength(rest[start:])
	if strings.HasPrefix(rest[start+length:], ".") {
		length += 1 + digitsLength(rest[start+length+1:])
	}
	digits := rest[start : start+length]
	after := strings.TrimSpace(rest[start+length:])
	if strings.HasPrefix(before, "-") || strings.HasSuffix(before, "-") {
		return fail("an amount of money cannot be negative", moneyHint)
	}
	value, ok := new(big.Rat).SetString(strings.TrimSuffix(digits, "."))
	if !ok {
		return fail("an amount is wanted", moneyHint)
	}
	if _, decimals, _ := strings.Cut(digits, "."); len(decimals) > 2 {
		return fail("an amount of money has at most two decimals", "")
	}
	amount, _ := value.Float64()
	if amount > HighestAmount {
		return fail("too large for an amount of money", "")
	}
	currency, reason, hint := currencyOf(before, after)
	if reason != "" {
		return fail(reason, hint)
	}
	return Money{amount, currency}, nil
}

// currencyOf joins what stands before and behind the number.
func currencyOf(before, after string) (currency, reason, hint string) {
	first, firstSign, reason, hint := oneCurrency(before)
	if reason != "" {
		return "", reason, hint
	}
	second, secondSign, reason, hint := oneCurrency(after)
	switch {
	case reason != "":
		return "", reason, hint
	case first == "" || first == second:
		return second, "", ""
	case second == "":
		return first, "", ""
	case firstSign == "$" && hasWord(dollars, second):
		return second, "", ""
	case secondSign == "$" && hasWord(dollars, first):
		return first, "", ""
	}
	return "", "two currencies, " + first + " and " + second, "name one"
}

// oneCurrency reads a symbol or a code; sign is the symbol that was used.
func oneCurrency(text string) (currency, sign, reason, hint string) {
	if text == "" {
		return "", "", "", ""
	}
	upper := strings.ToUpper(text)
	for _, s := range symbols {
		if upper == s.sign {
			return s.currency, s.sign, "", ""
		}
	}
	switch {
	case text == "¥":
		return "", "", "¥ can be two currencies", "write JPY or CNY"
	case strings.EqualFold(text, "kr"):
		return "", "", "kr can be several currencies", "write SEK, NOK, DKK or ISK"
	case len(upper) == 3 && hasWord(currencies, upper):
		return upper, "", "", ""
	}
	return "", "", text + " is not a currency; three letters of ISO 4217 or one of $ £ € are wanted", moneyHint
}

// String prints the amount with its currency attached, as ParseMoney reads it:
// 60USD, 99.50EUR, 60. An amount that is not finite prints as "unknown".
func (m Money) String() string {
	if math.IsNaN(m.Amount) || math.IsInf(m.Amount, 0) {
		return "unknown"
	}
	decimals := 2
	if m.Amount == math.Trunc(m.Amount) {
		decimals = 0
	}
	return strconv.FormatFloat(m.Amount, 'f', decimals, 64) + m.Currency
}
