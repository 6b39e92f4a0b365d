package exact

import (
	"fmt"
	"strings"
)

// CheckCAS checks the form and the check digit of a CAS Registry Number such as
// 7732-18-5.
//
//	check digit = (Σ i × digit i, counted from the right without the check digit) mod 10
//
// Source: CAS, "Check Digit Verification of CAS Registry Numbers".
func CheckCAS(cas string) error {
	a, rest, ok := strings.Cut(cas, "-")
	b, c, ok2 := strings.Cut(rest, "-")
	if !ok || !ok2 || len(a) < 2 || len(a) > 7 || len(b) != 2 || len(c) != 1 || !Digits(a+b+c) {
		return &ValueError{What: fmt.Sprintf("%q is not a CAS number", cas),
			Fix: "write it as on the data sheet: two to seven digits, two digits, one digit, joined by hyphens, " +
				"such as 7732-18-5"}
	}
	body := a + b
	sum := 0
	for i := 0; i < len(body); i++ {
		sum += (len(body) - i) * int(body[i]-'0')
	}
	if want := sum % 10; want != int(c[0]-'0') {
		return &ValueError{What: fmt.Sprintf("CAS number %s has check digit %s, the rest of the number asks for %d",
			cas, c, want), Fix: "a digit is mistyped; copy the number again from the data sheet"}
	}
	return nil
}

// CheckEC checks the form and the check digit of an EC number such as
// 231-791-2.
//
//	check digit = (Σ i × digit i, counted from the left, i = 1 to 6) mod 11
//
// Source: ECHA guidance on substance identification, EC number format.
func CheckEC(ec string) error {
	a, rest, ok := strings.Cut(ec, "-")
	b, c, ok2 := strings.Cut(rest, "-")
	if !ok || !ok2 || len(a) != 3 || len(b) != 3 || len(c) != 1 || !Digits(a+b+c) {
		return &ValueError{What: fmt.Sprintf("%q is not an EC number", ec),
			Fix: "write it as on the data sheet: three digits, three digits, one digit, joined by hyphens, " +
				"such as 231-791-2"}
	}
	body := a + b
	sum := 0
	for i := 0; i < len(body); i++ {
		sum += (i + 1) * int(body[i]-'0')
	}
	if want := sum % 11; want != int(c[0]-'0') {
		return &ValueError{What: fmt.Sprintf("EC number %s has check digit %s, the rest of the number asks for %d",
			ec, c, want), Fix: "a digit is mistyped; copy the number again from the data sheet"}
	}
	return nil
}
