; Installs Abut for one person, without asking for an administrator.
Unicode true
!include MUI2.nsh
!include FileFunc.nsh
Name "Abut"
OutFile "${OUT}"
InstallDir "$LOCALAPPDATA\Programs\Abut"
InstallDirRegKey HKCU "Software\Abut" "Folder"
RequestExecutionLevel user
SetCompressor /SOLID lzma
SetDateSave off
BrandingText " "
VIProductVersion "${NUMBERS}"
VIAddVersionKey ProductName "Abut"
VIAddVersionKey FileDescription "Installs Abut"
VIAddVersionKey FileVersion "${VERSION}"
VIAddVersionKey ProductVersion "${VERSION}"
VIAddVersionKey LegalCopyright "See LICENSE.txt"
!define MUI_ICON "${STAGE}\abut.ico"
!define MUI_UNICON "${STAGE}\abut.ico"
!insertmacro MUI_PAGE_LICENSE "${STAGE}\LICENSE.txt"
!insertmacro MUI_PAGE_DIRECTORY
!insertmacro MUI_PAGE_INSTFILES
!insertmacro MUI_UNPAGE_CONFIRM
!insertmacro MUI_UNPAGE_INSTFILES
!insertmacro MUI_LANGUAGE "English"
!insertmacro MUI_LANGUAGE "German"
!define GONE "Software\Microsoft\Windows\CurrentVersion\Uninstall\Abut"

; Offers Abut among what a kind of file can be opened with; what opens it now stays.
!macro Offer EXT
  WriteRegStr HKCU "Software\Classes\${EXT}\OpenWithProgids" "Abut.Picture" ""
!macroend
!macro Retract EXT
  DeleteRegValue HKCU "Software\Classes\${EXT}\OpenWithProgids" "Abut.Picture"
!macroend

Section
  SetOutPath "$INSTDIR"
  File "${STAGE}\abut.exe"
  File "${STAGE}\LICENSE.txt"
  File "${STAGE}\THIRD-PARTY.txt"
  File "${STAGE}\README.txt"
  WriteUninstaller "$INSTDIR\uninstall.exe"
  CreateShortcut "$SMPROGRAMS\Abut.lnk" "$INSTDIR\abut.exe"
  WriteRegStr HKCU "Software\Abut" "Folder" "$INSTDIR"
  WriteRegStr HKCU "Software\Classes\Abut.Job" "" "Abut job"
  WriteRegStr HKCU "Software\Classes\Abut.Job\DefaultIcon" "" "$INSTDIR\abut.exe,0"
  WriteRegStr HKCU "Software\Classes\Abut.Job\shell\open\command" "" '"$INSTDIR\abut.exe" "%1"'
  WriteRegStr HKCU "Software\Classes\.abut" "" "Abut.Job"
  WriteRegStr HKCU "Software\Classes\Abut.Picture" "" "Abut"
  WriteRegStr HKCU "Software\Classes\Abut.Picture\shell\open\command" "" '"$INSTDIR\abut.exe" "%1"'
  !insertmacro Offer ".svg"
  !insertmacro Offer ".png"
  !insertmacro Offer ".jpg"
  !insertmacro Offer ".jpeg"
  !insertmacro Offer ".gif"
  !insertmacro Offer ".bmp"
  !insertmacro Offer ".webp"
  WriteRegStr HKCU "${GONE}" "DisplayName" "Abut"
  WriteRegStr HKCU "${GONE}" "DisplayVersion" "${VERSION}"
  WriteRegStr HKCU "${GONE}" "DisplayIcon" "$INSTDIR\abut.exe,0"
  WriteRegStr HKCU "${GONE}" "UninstallString" '"$INSTDIR\uninstall.exe"'
  WriteRegDWORD HKCU "${GONE}" "NoModify" 1
  WriteRegDWORD HKCU "${GONE}" "NoRepair" 1
  ${RefreshShellIcons}
SectionEnd

; Settings, My sheets and kept work are the user's own: they stay.
Section Uninstall
  Delete "$SMPROGRAMS\Abut.lnk"
  Delete "$INSTDIR\abut.exe"
  Delete "$INSTDIR\LICENSE.txt"
  Delete "$INSTDIR\THIRD-PARTY.txt"
  Delete "$INSTDIR\README.txt"
  Delete "$INSTDIR\uninstall.exe"
  RMDir "$INSTDIR"
  !insertmacro Retract ".svg"
  !insertmacro Retract ".png"
  !insertmacro Retract ".jpg"
  !insertmacro Retract ".jpeg"
  !insertmacro Retract ".gif"
  !insertmacro Retract ".bmp"
  !insertmacro Retract ".webp"
  DeleteRegKey HKCU "Software\Classes\Abut.Job"
  DeleteRegKey HKCU "Software\Classes\Abut.Picture"
  DeleteRegKey HKCU "Software\Classes\.abut"
  DeleteRegKey HKCU "Software\Abut"
  DeleteRegKey HKCU "${GONE}"
  ${RefreshShellIcons}
SectionEnd
