package list

import (
	"os"
	"testing"

	"stillbright/data/known/knowntest"
)

func TestMain(m *testing.M) { os.Exit(knowntest.Run(m)) }
