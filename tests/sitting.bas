' A sitting at a workbook: scenarios are typed, looked at and taken back, one by one.
' calc.py fills in what stands in braces.

Dim b As Object, seen As Object
Dim places(200) As Object, olds(200) As Variant, held As Integer

Sub Work
	Dim files As Object
	files = createUnoService("com.sun.star.ucb.SimpleFileAccess")
	seen = createUnoService("com.sun.star.io.TextOutputStream")
	seen.setOutputStream(files.openFileWrite("{seen}"))
	seen.setEncoding("UTF-8")
	held = 0
	b = StarDesktop.loadComponentFromURL("{workbook}", "_blank", 0, Array())
	{steps}
	seen.writeString("done")
	seen.closeOutput()
	b.close(True)
End Sub

Sub TypeIn(sheet As String, address As String, value As Variant)
	Dim place As Object
	place = b.Sheets.getByName(sheet).getCellRangeByName(address)
	Set places(held) = place
	Select Case place.Type
		Case com.sun.star.table.CellContentType.VALUE: olds(held) = place.Value
		Case com.sun.star.table.CellContentType.TEXT: olds(held) = place.String
		Case com.sun.star.table.CellContentType.FORMULA: olds(held) = place.Formula
	End Select
	held = held + 1
	If TypeName(value) = "String" Then place.String = value Else place.Value = value
End Sub

' The last typed is the first taken back, so that a cell typed twice gets its first content.
Sub PutBack
	Dim old As Variant
	Do While held > 0
		held = held - 1
		old = olds(held)
		If IsEmpty(old) Then
			places(held).clearContents(1023 And Not (32 + 64)) ' all but the looks
		ElseIf TypeName(old) <> "String" Then
			places(held).Value = old
		ElseIf Left(old, 1) = "=" Then
			places(held).Formula = old
		Else
			places(held).String = old
		End If
		olds(held) = Empty
	Loop
End Sub

Sub StoreAs(url As String)
	Dim how(0) As New com.sun.star.beans.PropertyValue
	how(0).Name = "FilterName"
	how(0).Value = "Calc MS Excel 2007 XML"
	b.storeToURL(url, how())
End Sub

' Writes what the sheets in sight show: a cell a line, with its row and column counted from 0.
Sub LookAt(title As String)
	Dim sheet As Object, cursor As Object
	Dim rows As Variant, row As Variant, value As Variant
	Dim n As Long, r As Long, c As Long, told As String
	seen.writeString("look" & Chr(9) & title & Chr(10))
	For n = 0 To b.Sheets.Count - 1
		sheet = b.Sheets.getByIndex(n)
		If sheet.IsVisible Then
			seen.writeString("sheet" & Chr(9) & sheet.Name & Chr(10))
			cursor = sheet.createCursor()
			cursor.gotoEndOfUsedArea(False)
			rows = sheet.getCellRangeByPosition(0, 0, cursor.RangeAddress.EndColumn, cursor.RangeAddress.EndRow).getDataArray()
			For r = 0 To UBound(rows)
				row = rows(r)
				told = ""
				For c = 0 To UBound(row)
					value = row(c)
					Select Case TypeName(value)
						Case "Double"
							told = told & "number" & Chr(9) & r & Chr(9) & c & Chr(9) & Trim(Str(value)) & Chr(10)
						Case "String"
							If value <> "" Then told = told & "text" & Chr(9) & r & Chr(9) & c & Chr(9) & OneLine(value) & Chr(10)
						Case Else ' an error has no value
							told = told & "error" & Chr(9) & r & Chr(9) & c & Chr(9) & Chr(10)
					End Select
				Next
				If told <> "" Then seen.writeString(told)
			Next
		End If
	Next
End Sub

Function OneLine(text As Variant) As String
	OneLine = Replace(Replace(text, Chr(9), " "), Chr(10), " ")
End Function
