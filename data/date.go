package data

import "fmt"

// Date is a day as YYYY-MM-DD, or empty when not known. Dates in this form
// sort as text.
type Date string

// ParseDate checks that text is a day of the Gregorian calendar written
// YYYY-MM-DD, 1990 to 2199.
func ParseDate(text string) (Date, error) {
	var year, month, day int
	if len(text) != len("2006-01-02") || text[4] != '-' || text[7] != '-' {
		return "", fmt.Errorf("%q is not a day written YYYY-MM-DD", text)
	}
	for i, char := range text {
		if i != 4 && i != 7 && (char < '0' || char > '9') {
			return "", fmt.Errorf("%q is not a day written YYYY-MM-DD", text)
		}
	}
	if _, err := fmt.Sscanf(text, "%4d-%2d-%2d", &year, &month, &day); err != nil {
		return "", fmt.Errorf("%q is not a day written YYYY-MM-DD", text)
	}
	if year < 1990 || year > 2199 || month < 1 || month > 12 || day < 1 || day > daysIn(year, month) {
		return "", fmt.Errorf("%q is not a day of the calendar from 1990 to 2199", text)
	}
	return Date(text), nil
}

func daysIn(year, month int) int {
	switch month {
	case 4, 6, 9, 11:
		return 30
	case 2:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	}
	return 31
}
