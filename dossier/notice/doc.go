// Package notice makes the sheet for the notification of a product. Start at [Sheet].
package notice
