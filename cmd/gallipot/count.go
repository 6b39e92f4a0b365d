package main

import (
	"strconv"

	"gallipot/ingredients/exact"
)

// count is a flag that takes a plain decimal count: no zeros in front, no signs, no
// other base and no separators, each of which could mean another number.
type count struct {
	to          *int
	least, most int
	example     string
}

// portFlag takes a port of this computer; 0 takes any that is free.
func portFlag(to *int) count { return count{to, 0, 65535, "4690"} }

// Set reads the count as typed.
func (c count) Set(text string) error {
	n, err := strconv.Atoi(text)
	if err != nil || !exact.Digits(text) || len(text) > 1 && text[0] == '0' || n < c.least || n > c.most {
		return &exact.ValueError{
			What: "is not a whole number from " + strconv.Itoa(c.least) + " to " + strconv.Itoa(c.most),
			Fix:  "write it in plain digits, such as " + c.example,
		}
	}
	*c.to = n
	return nil
}

// String is the default as the help shows it.
func (c count) String() string {
	if c.to == nil {
		return "0"
	}
	return strconv.Itoa(*c.to)
}

// Type is what the help calls the value.
func (c count) Type() string { return "int" }
