' LibreOffice at work for the tests: runs macros from a folder one by one, until told to quit, or until
' none came for minutes: tests that were killed tell nothing.
' office.py fills in what stands in braces.

Sub Serve
	Dim files As Object, macros As Object, scripts As Object
	Dim number As Long, idle As Long, macro As String, told As String
	files = createUnoService("com.sun.star.ucb.SimpleFileAccess")
	macros = BasicLibraries.getByName("Standard")
	scripts = createUnoService("com.sun.star.script.provider.MasterScriptProviderFactory").createScriptProvider("")
	number = 1
	Do
		If files.exists("{jobs}/" & number & ".bas") Then
			macro = ReadAll(files, "{jobs}/" & number & ".bas")
			If macro = "quit" Then Exit Do
			told = "done"
			On Error Goto Failed
			macros.insertByName("Job" & number, macro)
			scripts.getScript("vnd.sun.star.script:Standard.Job" & number & ".Work?language=Basic&location=application").invoke(Array(), Array(), Array())
Worked:
			On Error Goto 0
			macros.removeByName("Job" & number)
			Tell files, "{jobs}/" & number & ".told", told
			number = number + 1
			idle = 0
		Else
			Wait 10
			idle = idle + 1
		End If
	Loop While idle < {most}
	StarDesktop.terminate()
	Exit Sub
Failed:
	told = "error " & Err & ": " & Error$
	CloseAll
	Resume Worked
End Sub

Function ReadAll(files As Object, url As String) As String
	Dim text As Object
	text = createUnoService("com.sun.star.io.TextInputStream")
	text.setInputStream(files.openFileRead(url))
	text.setEncoding("UTF-8")
	ReadAll = text.readString(Array(), False)
	text.closeInput()
End Function

' A file is written under another name first, so that nobody reads half of it.
Sub Tell(files As Object, url As String, told As String)
	Dim text As Object
	text = createUnoService("com.sun.star.io.TextOutputStream")
	text.setOutputStream(files.openFileWrite(url & ".new"))
	text.setEncoding("UTF-8")
	text.writeString(told)
	text.closeOutput()
	files.move(url & ".new", url)
End Sub

' A macro that failed may have left its workbook open.
Sub CloseAll
	Dim all As Object
	all = StarDesktop.Components.createEnumeration()
	Do While all.hasMoreElements()
		all.nextElement().close(True)
	Loop
End Sub
