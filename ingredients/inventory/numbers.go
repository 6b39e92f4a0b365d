package inventory

// casNumber reads a CAS number whose check digit is right, without that digit.
//
//	check digit = (Σ i × digit i, counted from the right without the check digit) mod 10
func casNumber(text string) (uint32, bool) {
	digits, ok := digitsOf(text, 2)
	if !ok || len(digits) < 5 || len(digits) > 10 {
		return 0, false
	}
	body, sum := digits[:len(digits)-1], 0
	for i, d := range body {
		sum += (len(body) - i) * int(d)
	}
	return number(body), sum%10 == int(digits[len(digits)-1])
}

// ecNumber reads an EC number whose check digit is right, without that digit.
//
//	check digit = (Σ i × digit i, counted from the left, i = 1 to 6) mod 11
func ecNumber(text string) (uint32, bool) {
	digits, ok := digitsOf(text, 2)
	if !ok || len(digits) != 7 {
		return 0, false
	}
	sum := 0
	for i, d := range digits[:6] {
		sum += (i + 1) * int(d)
	}
	return number(digits[:6]), sum%11 == int(digits[6])
}

// digitsOf returns the digits of a number written in three groups, the last of
// one digit.
func digitsOf(text string, hyphens int) ([]byte, bool) {
	var digits []byte
	for i := range len(text) {
		switch c := text[i]; {
		case '0' <= c && c <= '9':
			digits = append(digits, c-'0')
		case c == '-':
			hyphens--
		default:
			return nil, false
		}
	}
	return digits, hyphens == 0 && len(text) > 2 && text[len(text)-2] == '-'
}

func number(digits []byte) uint32 {
	var n uint32
	for _, d := range digits {
		n = n*10 + uint32(d)
	}
	return n
}
