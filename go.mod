module tengram

go 1.26
