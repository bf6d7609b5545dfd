package question

//go:generate env UPDATE_KIND=1 go test -run ^TestMentionWeights$ .
//go:generate env UPDATE_KIND=1 go test -run ^TestKindWeights$ .
