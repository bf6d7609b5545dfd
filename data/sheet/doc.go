// Package sheet exchanges readings and records as tables: CSV and spreadsheets.
package sheet
