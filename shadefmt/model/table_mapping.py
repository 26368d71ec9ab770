"""Kind `table-mapping`: how the columns of a delimited table become members of cases."""
